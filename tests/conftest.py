"""For pytest: what lies beside the tests and is started by hand is not collected."""

collect_ignore = ["fuzz", "benchmarks"]
