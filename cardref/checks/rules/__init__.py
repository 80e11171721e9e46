"""The rules, a family a folder and a rule a module; :mod:`cardref.checks.table` lists them all."""
