"""Reports made up by Hypothesis, with the worst text a file can hold; shared by the tests of the formats."""

from hypothesis import strategies as st

from cardref.finding import Accepted, Edit, Finding, Fix, Related, Report, Severity, Skipped
from cardref.location import Place

NASTY = (
    "",
    "\x1b[31mred\x1b[0m",
    "\x9b31m",
    "::error file=x::injected",
    "  ::add-mask::x",
    "\n::stop-commands::x\r\n",
    "##[error]x",
    "###vso[task.setvariable variable=x]y",
    "a\u202eb\u2066c",
    "line\u2028two\u0085three",
    "%0A::error::x,y:z",
    "{0} {1}",
    "[here](https://elsewhere.example/)",
    "\ud800\udcff",
    "\x00\ufeff",
    "=1+1",
    "</script><b>&amp;",
    "파도길 완구 ७के २०४६",
)

_any = st.characters(categories=["L", "N", "P", "S", "Z", "Cc", "Cf", "Cs", "Cn", "Co"])
texts = st.one_of(st.sampled_from(NASTY), st.text(_any, max_size=12), st.text("ab/:,%# '9", max_size=8))
paths = st.one_of(
    st.sampled_from(
        ["makers.yaml", "lines/a b/backs/x.yaml", "//host/x", "/etc/x", "a:b", "x#y?z", "100%.yaml"]
    ),
    texts,
)
_numbers = st.integers(0, 5)
places = st.builds(Place, paths, _numbers, _numbers, _numbers, _numbers)
severities = st.sampled_from(list(Severity))
fixes = st.builds(Fix, texts, st.booleans(), st.lists(st.builds(Edit, places, texts), max_size=2).map(tuple))
findings = st.builds(
    Finding,
    rule=st.one_of(st.sampled_from(["count-mismatch", "no-source"]), texts),
    severity=severities,
    message=texts,
    place=places,
    record=texts,
    field=texts,
    value=texts,
    related=st.lists(st.builds(Related, places, texts), max_size=2).map(tuple),
    related_records=st.lists(texts, max_size=2).map(tuple),
    fix=st.none() | fixes,
)
reports = st.builds(
    Report,
    dataset=texts,
    version=texts,
    findings=st.lists(findings, max_size=4).map(tuple),
    waived=st.lists(
        st.builds(Finding, rule=texts, severity=severities, message=texts, place=places, waived=texts),
        max_size=2,
    ).map(tuple),
    skipped=st.lists(st.builds(Skipped, texts, texts), max_size=2).map(tuple),
    stale=st.lists(st.builds(Accepted, texts, texts, texts, texts, st.integers(1, 3)), max_size=2).map(tuple),
    files=_numbers,
    records=_numbers,
    rules=_numbers,
)


def finding(
    message: str = "quay-marl 25B pictures 24 figures, its count says 25",
    *,
    rule: str = "count-mismatch",
    severity: Severity = Severity.ERROR,
    place: Place = Place("backs.yaml", 2, 8, 2, 10),  # noqa: B008 - frozen
    record: str = "night-post/b-002",
    value: str = "25",
    related: tuple[Related, ...] = (),
    fix: Fix | None = None,
    waived: str = "",
) -> Finding:
    """A finding with everything that a test does not care about filled in."""
    return Finding(
        rule=rule,
        severity=severity,
        message=message,
        place=place,
        record=record,
        field="count",
        value=value,
        related=related,
        fix=fix,
        waived=waived,
    )


def report(*findings: Finding, waived: tuple[Finding, ...] = (), skipped: tuple[Skipped, ...] = ()) -> Report:
    """A report of a check that looked at something."""
    return Report(
        dataset="demo",
        version="2031.4",
        findings=findings,
        waived=waived,
        skipped=skipped,
        files=3,
        records=40,
        rules=62,
    )
