"""Narrowing down an unknown thing from a few uncertain looks: a table, and a belief over its candidates.

Nothing in this folder knows what the candidates are, but for the module that makes a table out of a
reference. ``table`` has the table and ``session`` the looks made so far; the rest serves these two.

>>> from cardref.identification.feature import Feature, Span
>>> from cardref.identification.session import Session
>>> from cardref.identification.table import Table
>>> table = Table(
...     [Feature("border", "choice", ("red", "blue")), Feature("star", "presence"),
...      Feature("rope", "length")],
...     {"first": {"border": "red", "star": "present", "rope": Span(0.5, 1.5)},
...      "second": {"border": "red", "star": "present", "rope": Span(2.5, 3.5)},
...      "third": {"border": "blue", "star": "absent"}},
... )
>>> session = Session(table).observe("border", "red").observe("rope", "3 mm")
>>> top = session.candidates[0]
>>> top.id, round(top.posterior, 3), [str(fit) for fit in top.matches]
('second', 0.969, ['border: red', 'rope: 3 mm'])
>>> print(session.explain())
Identified as far as recorded: second (97 %).
For second: border: red; rope: 3 mm.
To be surer, look at: star (0.09 bit).
All candidates were taken to be equally common.
"""
