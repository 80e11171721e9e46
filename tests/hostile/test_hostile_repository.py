"""A dataset that brings the parts of a git repository along: nothing in it is run, and nothing is fetched."""

import subprocess
from pathlib import Path

import pytest

from cardref.checks.runner import check
from cardref.checks.sample import write_sample
from cardref.errors import UsageError
from tests.hostile.kit import TODAY, raw_signs, run


def _git(folder: Path, *words: str) -> None:
    subprocess.run(["git", "-C", folder, "-c", "user.name=a", "-c", "user.email=a@b", *words], check=True)


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    """A repository with the sample dataset in it, committed on the branch main."""
    folder = tmp_path / "repository"
    write_sample(folder / "dataset")
    _git(tmp_path, "init", "-q", "repository")
    _git(folder, "checkout", "-q", "-b", "main")
    _git(folder, "add", "-A")
    _git(folder, "commit", "-q", "-m", "base")
    return folder


CONFIGS = {
    "fetch": """\
[core]
    repositoryformatversion = 1
    bare = true
[extensions]
    partialClone = origin
[remote "origin"]
    url = "ext::touch PWNED"
    promisor = true
[protocol "ext"]
    allow = always
""",
    "filter": """\
[core]
    bare = true
    fsmonitor = touch PWNED
    hooksPath = .
    pager = touch PWNED
    sshCommand = touch PWNED
[filter "x"]
    smudge = touch PWNED
    process = touch PWNED
[alias]
    rev-parse = !touch PWNED
    archive = !touch PWNED
""",
}


@pytest.mark.parametrize("name", CONFIGS)
def test_a_repository_among_the_data_is_not_used(
    repository: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    """HEAD, objects and refs in the dataset, with a configuration that names programs: nothing is run."""
    data = repository / "dataset"
    (data / "HEAD").write_text("ref: refs/heads/main\n")
    (data / "refs/heads").mkdir(parents=True)
    (data / "refs/heads/main").write_text("1" * 40 + "\n")
    (data / "objects").mkdir()
    (data / "config").write_text(CONFIGS[name].replace("PWNED", str(tmp_path / "PWNED")))
    (data / ".gitattributes").write_text("* filter=x\n")
    for words in (["--since", "main"], ["--base", "main"], ["--since", "HEAD~1"]):
        ran = run(["check", str(data), *words])
        assert ran.status == 2
        assert b"holds the parts of a git repository" in ran.err
    monkeypatch.chdir(repository)
    assert run(["compare", "main", "dataset"]).status == 2
    assert not (tmp_path / "PWNED").exists()


@pytest.mark.parametrize(
    "revision",
    [
        "--output=/tmp/PWNED",
        "-h",
        "--help",
        "main:dataset",
        "main --",
        "@{u}",
        "",
        "\0",
        "\ud800",
        "\x1b[31m",
        "x" * 5000,
    ],
)
def test_a_revision_is_no_option(repository: Path, revision: str) -> None:
    """Whatever is given as a revision is looked up as one, and refused with a clear word."""
    with pytest.raises(UsageError) as caught:
        check(repository / "dataset", today=TODAY, since=revision)
    assert raw_signs(str(caught.value).encode()) == []
    assert len(str(caught.value)) < 1000


def test_odd_names_in_a_revision(repository: Path) -> None:
    """Links and names made to mislead, committed in the earlier version, are harmless."""
    data = repository / "dataset"
    (data / "link").symlink_to("/etc/passwd")
    (data / "a\nb.yaml").write_text("x: 1\n")
    (data / "-x.yaml").write_text("x: 1\n")
    (data / ".gitattributes").write_text("dataset.yaml export-ignore\nmakers.yaml export-subst\n")
    _git(repository, "add", "-A")
    _git(repository, "commit", "-q", "-m", "odd")
    report = check(data, today=TODAY, since="main~1")
    assert {finding.rule for finding in report.findings} <= {"unknown-file", "symbolic-link"}
    report = check(data, today=TODAY, base="main")
    assert {finding.rule for finding in report.findings} <= {"unknown-file", "symbolic-link"}
