"""What cardref requires is said with a lowest version, the same for running and for building."""

from tests.compat.bounds import PROJECT, lowest


def test_every_requirement_has_a_lowest_version_that_ci_installs() -> None:
    """None of the four is without a bound, and none has an upper one that a newer release would break on."""
    required = PROJECT["project"]["dependencies"]
    assert sorted(lowest(required)) == ["attrs", "cattrs", "jsonschema", "pyyaml"]
    assert not [requirement for requirement in required if "<" in requirement]


def test_building_requires_no_other_versions_than_running() -> None:
    """The build compiles the data with the same code, so its bounds of the same libraries are the same."""
    running = lowest(PROJECT["project"]["dependencies"])
    building = lowest(PROJECT["build-system"]["requires"])
    assert {name: bound for name, bound in building.items() if name != "hatchling"}.items() <= running.items()
