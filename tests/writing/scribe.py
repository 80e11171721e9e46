"""A scribe with many hands: plain values written as YAML in all the ways of people, comments strewn in.

The scribe knows what it wrote: :class:`Written` holds the text, the values, and every comment, so that a test
need not ask the code under test what was there.
"""

import random
from typing import Any

from attrs import define, field

__all__ = ["Scribe", "Written", "random_record_file", "random_value"]

_WORDS = (
    "lamp diver rope walk ada tide clerk gull warden reef pilot salt porter kelp bell back front wave "
    "Ανεμώνη कार्ड 파도길 Fjellvik naïve Žába"
).split()
_ODD = (
    "NO", "yes", "0412", "12:30", "1_000", "1e3", "2024-01-05", "=", "~", "null", "true", "25B",
    "7K 2046/031", "a: b", "a #b", "#a", "- a", "?", "? a", ": a", "[a", "{a}", "a, b", "a]", "'", '"',
    "it's", 'say "so"', "*a", "&a", "!a", "%a", "@a", "`a", "|", ">", "a:", " a", "a ", "a  b", "",
    "---", "...", "a\nb", "a\nb\n", "a\n\n b", "\n", " \n", "a\n", "a\n\n", "a\\b", "\u202eabc", "\xa0",
    "á", "🐟", "x" * 130, "<<", ".5", "+1", "-0", "0x1f", "on", "Off", "http://example.invalid/a#b",
    "//", "a/b", "1981~",
)  # fmt: skip


def random_value(rng: random.Random, depth: int = 3) -> Any:
    """Any plain value that a file may hold."""
    kind = rng.random()
    if depth and kind < 0.25:
        return {key: random_value(rng, depth - 1) for key in _keys(rng, rng.randrange(5))}
    if depth and kind < 0.5:
        return [random_value(rng, depth - 1) for _ in range(rng.randrange(5))]
    if kind < 0.6:
        return rng.choice([0, 1, 25, -3, 999, 1.5, 0.1, -2.25, True, False, None, 10**17])
    if kind < 0.75:
        return rng.choice(_ODD)
    return _phrase(rng)


def _phrase(rng: random.Random) -> str:
    return " ".join(rng.choice(_WORDS) for _ in range(rng.choice([1, 1, 2, 3, 5, 30])))


def _keys(rng: random.Random, count: int) -> list[str]:
    names = ["id", "note", "sources", "count", "plus", "x-own", "a b", "NO", "25", "clé", "a:b", "#k", "true"]
    return rng.sample(names, count)


def random_record_file(rng: random.Random) -> dict[str, Any]:
    """What a file of backs might say, with keys and records in any order, and here and there a slip."""
    numbers = rng.sample(range(1, 40), rng.randrange(1, 7))
    backs = []
    for number in numbers:
        back: dict[str, Any] = {
            "id": f"b-{number:03d}",
            "designation": f"{rng.randrange(4, 30)}{rng.choice('ABC')}",
        }
        back |= {"series": "tidewrack", "count": rng.randrange(4, 30)}
        if rng.random() < 0.5:
            back["pictures"] = {"plus": [rng.choice(_WORDS[:18]) for _ in range(rng.randrange(15))]}
        if rng.random() < 0.5:
            back["features"] = {"rope-length": "4 mm", "stars": rng.randrange(5), "ink": rng.choice(_WORDS)}
        if rng.random() < 0.3:
            back["concordance"] = [{"reference": "other", "designation": f"{number}C"}] * rng.randrange(3)
        if rng.random() < 0.5:
            back["note"] = rng.choice([_phrase(rng), rng.choice(_ODD)])
        if rng.random() < 0.1:
            back["misspelt"] = random_value(rng, 2)
        if rng.random() < 0.1:
            back["designation"] = rng.choice(["?", 25, None, "25b!"])
        back["sources"] = [rng.choice(_WORDS[:8]) for _ in range(rng.randrange(4))]
        keys = list(back)
        rng.shuffle(keys)
        backs.append({key: back[key] for key in keys})
    whole = {"maker": "quay-marl", "line": "tidewrack", "backs": backs}
    keys = list(whole)
    rng.shuffle(keys)
    return {key: whole[key] for key in keys}


@define
class Written:
    """What was written: the text, what it says, and its comments in order."""

    text: str
    value: Any
    comments: list[str] = field(factory=list)


class Scribe:
    """Writes values as YAML, each time in another hand."""

    def __init__(self, rng: random.Random, comments: float = 0.15) -> None:
        self.rng = rng
        self.often = comments
        self.made: list[str] = []
        self.lines: list[str] = []
        self.below_block: tuple[int, int] = (-1, 0)

    def write(self, value: Any) -> Written:
        """``value`` (a mapping or a list) as a text."""
        self.made, self.lines = [], []
        self._loose(0)
        if self.rng.random() < 0.1:
            self.lines.append("---" + self._behind())
        self._block(value, 0)
        self._loose(0)
        end = self.rng.choice(["\n", "\n", "\r\n"])
        text = end.join(self.lines) + self.rng.choice([end, end, ""])
        return Written(text, value, list(self.made))

    @property
    def text_lines(self) -> int:
        """How many lines hold something besides comments and blanks."""
        return sum(1 for line in self.lines if line.strip() and line.lstrip()[0] != "#")

    # --- comments -----------------------------------------------------------------------------------------

    def _comment(self) -> str:
        signs = self.rng.choice(["# ", "#", "## ", "#: ", "# - a: [", "# 'x", '# "y', "# }"])
        made = f"{signs}c{len(self.made)}{self.rng.choice(['', ' é', ' # again', ' key: value'])}"
        self.made.append(made)
        return made

    def _behind(self) -> str:
        if self.rng.random() < self.often:
            return " " * self.rng.randrange(1, 4) + self._comment() + self.rng.choice(["", "", "  "])
        return ""

    def _loose(self, indent: int) -> None:
        """Comment lines and blank lines between entries."""
        while self.rng.random() < self.often:
            if self.rng.random() < 0.5:
                in_scalar = self.below_block[0] == self.text_lines  # where blanks would be part of the text
                self.lines.append(self.rng.choice(["", "", "" if in_scalar else "   "]))
            else:
                at = max(0, indent + self.rng.choice([0, 0, 0, 0, -2, -1, 1, 2, 5]))
                if self.below_block[0] == self.text_lines:
                    at = min(at, self.below_block[1])  # further right it would be part of the block scalar
                self.lines.append(" " * at + self._comment())

    # --- values -------------------------------------------------------------------------------------------

    def _block(self, value: Any, indent: int) -> None:
        items = value.items() if isinstance(value, dict) else ((None, item) for item in value)
        if not value:
            self.lines.append(" " * indent + ("{}" if isinstance(value, dict) else "[]") + self._behind())
        for number, (key, item) in enumerate(items):
            if number:
                self._loose(indent)
            head = " " * indent + ("-" if key is None else f"{self._key(key)}:")
            self._under(head, item, indent, listed=key is None, within_list=False)

    def _under(self, head: str, item: Any, indent: int, *, listed: bool, within_list: bool) -> None:
        rng = self.rng
        if isinstance(item, (dict, list)) and item and rng.random() < 0.75:
            if listed and rng.random() < 0.8:
                # The first line of the block stands behind the dash.
                gap = rng.choice([1, 1, 1, 3])
                mark = len(self.lines)
                self._block(item, indent + 1 + gap)
                first = self.lines[mark]
                self.lines[mark] = head + " " * gap + first[indent + 1 + gap :]
                return
            self.lines.append(head + self._behind())
            flat = isinstance(item, list) and not listed and rng.random() < 0.3
            inner = indent if flat else indent + rng.choice([1, 2, 2, 4])
            # A comment further left is fine anywhere before the first child.
            self._loose(inner)
            self._block(item, inner)
            return
        if isinstance(item, str) and "\n" not in item and not within_list and rng.random() < 0.2:
            folded = self._folded(item, indent)
            if folded:
                self.lines.append(f"{head} {rng.choice(['>-', '>-', '|-'])}{self._behind()}")
                self.lines += folded
                self.below_block = (self.text_lines, indent)
                return
        if item is None and rng.random() < 0.5:
            self.lines.append(head + self._behind())
            return
        if isinstance(item, (dict, list)):
            self.lines.append(f"{head} ")
            self._flow(item, indent + 1)
            self.lines[-1] += self._behind()
            return
        self.lines.append(f"{head} {self._scalar(item, flow=False, indent=indent)}{self._behind()}")

    def _folded(self, text: str, indent: int) -> list[str]:
        """One line of a block scalar where that keeps the text exactly; nothing where it might not."""
        plain = all(sign.isprintable() for sign in text)
        if not text or text != text.strip() or not plain:
            return []
        return [" " * (indent + self.rng.choice([1, 2, 4])) + text]

    def _flow(self, value: Any, indent: int) -> None:
        """Append ``value`` in brackets to the last line, over several lines at times."""
        is_map = isinstance(value, dict)
        self.lines[-1] += "{" if is_map else "["
        items = list(value.items()) if is_map else [(None, item) for item in value]
        for number, (key, item) in enumerate(items):
            self._break(indent)
            if key is not None:
                self.lines[-1] += f"{self._key(key)}: "
            if isinstance(item, (dict, list)):
                self._flow(item, indent + 1)
            else:
                self.lines[-1] += self._scalar(item, flow=True, indent=indent)
            if number < len(items) - 1 or (self.rng.random() < 0.2 and item is not None):
                self.lines[-1] += self.rng.choice([",", ", ", " , "])
        self._break(indent)
        self.lines[-1] += "}" if is_map else "]"

    def _break(self, indent: int) -> None:
        if self.rng.random() < 0.15:
            self.lines[-1] += self._behind()
            while self.rng.random() < self.often:
                self.lines.append(" " * (indent + 1) + self._comment())
            self.lines.append(" " * (indent + 1))

    def _key(self, key: str) -> str:
        if key.replace("-", "a").isalnum() and key.isascii() and key not in ("NO", "25", "true"):
            return self.rng.choice([key, key, key, f'"{key}"', f"'{key}'"])
        return self._quoted(key)

    def _quoted(self, text: str) -> str:
        safe = all(sign.isprintable() for sign in text)
        if safe and self.rng.random() < 0.4:
            return "'" + text.replace("'", "''") + "'"
        out = ""
        for sign in text:
            if sign in '\\"':
                out += "\\" + sign
            elif sign.isprintable() and not (ord(sign) > 127 and self.rng.random() < 0.1):
                out += sign
            else:
                out += (
                    f"\\U{ord(sign):08x}"
                    if self.rng.random() < 0.5 or ord(sign) > 0xFFFF
                    else f"\\u{ord(sign):04x}"
                )
        return f'"{out}"'

    def _scalar(self, value: Any, *, flow: bool, indent: int) -> str:
        if value is None:
            return self.rng.choice(["null", "~", "Null"])
        if isinstance(value, bool):
            word = "true" if value else "false"
            return self.rng.choice([word, word, word.title(), word.upper()])
        if not isinstance(value, str):
            return str(value)
        bare = value and all(
            (word.isalpha() and len(word) > 4) or word in _WORDS for word in value.split(" ")
        )
        if bare and self.rng.random() < 0.6:
            if " " in value and not flow and self.rng.random() < 0.2:
                return value.replace(" ", "\n" + " " * (indent + 2), 1)
            return value
        return self._quoted(value)
