"""Tokens -> the sides of a line, by precedence (Pratt): relations, then sums, then products, then powers."""

from __future__ import annotations

from .complaint import Complaint
from .complaints import complain
from .powers import half_at, whole_power
from .size import check_size
from .tokens import Scanner, Token
from .tree import Group, Name, Node, Number, Place, Power, Product, Root, Sum, Trig

MAX_DEPTH = 40

RELATIONS = frozenset(("=", "<", ">", "<=", ">=", "≈", "!=", "<<", ">>"))
_OPEN = {"(": ")", "[": "]", "{": "}"}
_CLOSE = {v: k for k, v in _OPEN.items()}
_STARTS = frozenset(("number", "name", "function", "frac", "root", *_OPEN))


class Parser:
    def __init__(self, scanner: Scanner, start: int, end: int) -> None:
        self.scanner = scanner
        self.tokens = scanner.tokens(start, end)
        self.i = 0
        self.depth = 0

    def sides(self) -> tuple[list[Node], list[str]]:
        """side (relation side)*; at least one side, and nothing left over."""
        first = self.tokens[0]
        if first.kind == "end":
            raise complain("empty", (0, len(self.scanner.text)))
        if first.kind in RELATIONS:
            raise complain("no-left-side", (first.start, first.end), found=self._shown(first))
        sides, relations = [self._sum()], []
        while True:
            token = self.tokens[self.i]
            if token.kind == "end":
                break
            if token.kind not in RELATIONS:
                raise self._misplaced(token)
            self.i += 1
            after = self.tokens[self.i]
            if after.kind in RELATIONS:
                at = (token.start, after.end)
                raise complain("double-relation", at, found=self.scanner.text[at[0] : at[1]])
            relations.append(token.kind)
            sides.append(self._sum())
        for side in sides:
            check_size(side)
        return sides, relations

    # -- sums ------------------------------------------------------------------------------------------------------

    def _sum(self) -> Node:
        token = self.tokens[self.i]
        kind = token.kind
        start = token.start
        terms: list[tuple[int, Node]] = []
        spots: list[Place] = []
        if kind == "-" or kind == "+":
            self.i += 1
            after = self.tokens[self.i]
            if after.kind in ("+", "-"):
                raise complain("double-sign", (start, after.end), found=self.scanner.text[start : after.end])
            node = self._product(token)
            if kind == "-" or self.tokens[self.i].kind in ("+", "-"):
                terms.append((-1 if kind == "-" else 1, node))
                spots.append((start, node.at[1]))
        else:
            node = self._product(self.tokens[self.i - 1] if self.i else None)
        while True:
            token = self.tokens[self.i]
            kind = token.kind
            if kind != "+" and kind != "-":
                break
            if not terms:
                terms.append((1, node))
                spots.append(node.at)
            self.i += 1
            self._no_second_sign(token)
            node = self._product(token)
            terms.append((1 if kind == "+" else -1, node))
            spots.append((token.start, node.at[1]))
        if not terms:
            return node
        return Sum(tuple(terms), tuple(spots), (start, node.at[1]))

    def _no_second_sign(self, token: Token) -> None:
        after = self.tokens[self.i]
        if after.kind in ("+", "-") and not (token.kind == "+" and after.kind == "-" and after.spaced):
            at = (token.start, after.end)
            raise complain("double-sign", at, found=self.scanner.text[at[0] : at[1]])

    # -- products --------------------------------------------------------------------------------------------------

    def _product(self, before: Token | None) -> Node:
        first = self._negative() if self.tokens[self.i].kind == "-" else self._power(before)
        token = self.tokens[self.i]
        if token.kind not in ("*", "/") and token.kind not in _STARTS:
            return first
        factors: list[tuple[str, Node]] = _opened(first)
        while True:
            token = self.tokens[self.i]
            kind = token.kind
            if kind == "*" or kind == "/":
                self.i += 1
                if self.tokens[self.i].kind == "-":
                    factors.append((kind, self._negative()))
                    continue
                node = self._power(token)
                if kind == "/":
                    node = self._denominator(node)
                    factors.append((kind, Group(node, node.at) if isinstance(node, Product) else node))
                else:
                    opened = _opened(node)
                    factors += [(kind, opened[0][1]), *opened[1:]]
            elif kind in _STARTS:
                if kind == "number":
                    self._no_two_numbers(factors[-1][1], token)
                node = self._power(None)
                factors += self._fraction_beside(factors[-1][1], node) if isinstance(node, Product) else [("", node)]
            else:
                break
        at = (factors[0][1].at[0], self.tokens[self.i - 1].end)
        return Product(tuple(factors), at)

    def _negative(self) -> Node:
        """A factor with a minus of its own: T * -1."""
        minus = self.tokens[self.i]
        self.i += 1
        if self.tokens[self.i].kind in ("+", "-"):
            self._no_second_sign(minus)
        node = self._power(minus)
        at = (minus.start, node.at[1])
        return Sum(((-1, node),), (at,), at)

    def _no_two_numbers(self, last: Node, token: Token) -> None:
        """6.5 1.58, R² 2: nobody can say whether a sign is missing or a space too many."""
        while isinstance(last, Sum):
            last = last.terms[-1][1]
        if isinstance(last, (Number, Power)):
            at = (self.tokens[self.i - 1].start if isinstance(last, Power) else last.at[0], token.end)
            raise complain("two-numbers", at, found=self.scanner.text[at[0] : at[1]])

    def _fraction_beside(self, last: Node, fraction: Product) -> list[tuple[str, Node]]:
        """A fraction next to what stands before it. After a number it would be a mixed number, or a product: who knows."""
        top = fraction.factors[0][1]
        if isinstance(top, (Number, Power)) and isinstance(last, Number):
            at = (last.at[0], fraction.at[1])
            raise complain("two-numbers", at, found=self.scanner.text[at[0] : at[1]])
        if isinstance(top, Number) and not isinstance(last, (Name, Trig)):
            return [("", Group(fraction, fraction.at))]
        return list(fraction.factors)

    def _denominator(self, first: Node) -> Node:
        """a/2g: from left to right, or a over all that is written together. Both are kept."""
        last, token = self.tokens[self.i - 1], self.tokens[self.i]
        if token.kind not in _STARTS or token.spaced or last.kind in _CLOSE or token.kind in _OPEN:
            return first
        if isinstance(first, Number) and self.i >= 3 and self.tokens[self.i - 3].kind == "number":
            return first  # 3/4m is three quarters of m
        scanner = self.scanner
        start = first.at[0]
        saved = self.i
        together: list[tuple[str, Node]] = [("", first)]
        while (
            self.tokens[self.i].kind in _STARTS
            and not self.tokens[self.i].spaced
            and self.tokens[self.i].kind not in _OPEN
        ):
            if self.tokens[self.i].kind == "number":
                self._no_two_numbers(together[-1][1], self.tokens[self.i])
            together.append(("", self._power(None)))
        text = scanner.text[start : self.tokens[self.i - 1].end]
        if scanner.choose("over " + text, 2):
            scanner.remarks.append(f"“/{text}” was read as divided by all of {text}.")
            at = (start, self.tokens[self.i - 1].end)
            return Group(Product(tuple(together), at), at)
        self.i = saved
        scanner.remarks.append(f"“/{text}” was read from left to right. Write /({text}) if you mean all of it.")
        return first

    # -- powers ----------------------------------------------------------------------------------------------------

    def _power(self, before: Token | None) -> Node:
        base = self._atom(before)
        token = self.tokens[self.i]
        if token.kind != "^" and token.kind != "power":
            return base
        if isinstance(base, Power):
            raise complain("exponent-chain", (token.start, token.end))
        if isinstance(base, Number) and base.unit:
            at = (base.at[0], token.end)
            raise complain("unknown-unit", at, found=self.scanner.text[at[0] : at[1]])
        if isinstance(base, Product):
            base = Group(base, base.at)
        second = self.tokens[min(self.i + (2 if token.kind == "^" else 1), len(self.tokens) - 1)]
        if second.kind in ("^", "power"):
            third = self.tokens[min(self.tokens.index(second) + 1, len(self.tokens) - 1)]
            end = third.end if second.kind == "^" and third.kind in ("number", "name") else second.end
            raise complain("exponent-chain", (second.start, end))
        half = half_at(self.tokens[self.i : self.i + 6])
        self.i += half
        exponent = 2 if half else self._exponent()
        after = self.tokens[self.i]
        if after.kind in ("^", "power"):
            raise complain("exponent-chain", (after.start, after.end))
        if half:
            return Root(base.inner if isinstance(base, Group) else base, (base.at[0], self.tokens[self.i - 1].end))
        return Power(base, exponent, (base.at[0], self.tokens[self.i - 1].end))

    def _exponent(self) -> int:
        token = self.tokens[self.i]
        self.i += 1
        if token.kind == "power":
            return whole_power(str(token.value), (token.start, token.end))
        opened = self.tokens[self.i]
        closing = _OPEN.get(opened.kind)
        if closing:
            self.i += 1
        minus = self.tokens[self.i].kind == "-"
        if minus:
            self.i += 1
        number = self.tokens[self.i]
        at = (token.start, number.end if number.kind in ("number", "name") else token.end)
        if number.kind != "number":
            raise complain("exponent", at, instead="Write the number of the power after ^.")
        self.i += 1
        node = number.value
        assert isinstance(node, Number)
        exponent = whole_power(("-" if minus else "") + node.text if not node.unit else "unit", at)
        if closing:
            if self.tokens[self.i].kind != closing:
                raise complain("missing-close", (opened.start, opened.end), close=closing)
            self.i += 1
        return exponent

    # -- atoms -----------------------------------------------------------------------------------------------------

    def _atom(self, before: Token | None) -> Node:
        token = self.tokens[self.i]
        kind = token.kind
        if kind == "number" or kind == "name":
            self.i += 1
            return token.value  # type: ignore[return-value]
        if kind in _OPEN:
            return self._group(token)
        if kind == "function":
            self.i += 1
            return self._trig(token)
        if kind == "frac":
            self.i += 1
            return self._fraction(token)
        if kind == "root":
            self.i += 1
            return self._root(token)
        raise self._nothing_after(before, token)

    def _group(self, token: Token) -> Node:
        self.i += 1
        self._deeper(token)
        closing = self.tokens[self.i]
        if closing.kind == _OPEN[token.kind]:
            raise complain("empty-parentheses", (token.start, closing.end))
        inner = self._sum()
        end = self._close(token)
        self.depth -= 1
        return Group(inner, (token.start, end))

    def _deeper(self, token: Token) -> None:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise complain("too-deep", (token.start, token.end), limit=MAX_DEPTH)

    def _close(self, opened: Token) -> int:
        token = self.tokens[self.i]
        wanted = _OPEN[opened.kind]
        if token.kind == wanted:
            self.i += 1
            return token.end
        if token.kind in _CLOSE:
            raise complain("wrong-close", (token.start, token.end), found=token.kind, open=opened.kind, close=wanted)
        if token.kind == "end" or token.kind in RELATIONS:
            raise complain("missing-close", (opened.start, opened.end), close=wanted)
        raise self._misplaced(token)

    def _trig(self, token: Token) -> Node:
        """sin of a parenthesis, a number, a letter, or a number and a letter; sin^2 too."""
        name = str(token.value).lstrip("\\").lower()
        power, after = 0, self.tokens[self.i]
        if after.kind in ("^", "power"):
            power = self._exponent()
        argument: Node
        after = self.tokens[self.i]
        if after.kind in _OPEN:
            group = self._group(after)
            assert isinstance(group, Group)
            argument = group.inner
        elif after.kind == "name":
            self.i += 1
            argument = after.value  # type: ignore[assignment]
        elif after.kind == "number":
            self.i += 1
            argument = after.value  # type: ignore[assignment]
            follower = self.tokens[self.i]
            if follower.kind == "name" and not follower.spaced and self._is_angle(follower):
                self.i += 1
                factors = (("", argument), ("", follower.value))
                argument = Product(factors, (after.start, follower.end))  # type: ignore[arg-type]
        else:
            raise complain("missing-argument", (token.start, token.end), found=name)
        node: Node = Trig(name, argument, (token.start, self.tokens[self.i - 1].end))
        return Power(node, power, node.at) if power else node

    def _root(self, token: Token) -> Node:
        """√(2 a d), sqrt(2 a d); a single number or letter needs no parentheses, unless more stands beside it."""
        operand = self.tokens[self.i]
        if operand.kind in _OPEN:
            group = self._group(operand)
            assert isinstance(group, Group)
            return Root(group.inner, (token.start, group.at[1]))
        after = self.tokens[min(self.i + 1, len(self.tokens) - 1)]
        if operand.kind not in ("number", "name") or after.kind in _STARTS or after.kind in ("^", "power"):
            raise complain("root", (token.start, token.end), found=self._shown(token))
        self.i += 1
        return Root(operand.value, (token.start, operand.end))  # type: ignore[arg-type]

    def _is_angle(self, token: Token) -> bool:
        node = token.value
        if not isinstance(node, Name):
            return False
        vocabulary = self.scanner.vocabulary
        members = vocabulary.generic.get(node.name, (node.name,))
        return vocabulary.kinds.get(members[0]) in ("angle", "force_angle")

    def _fraction(self, token: Token) -> Node:
        r"""\frac{a}{b}: a product a / b, with a parenthesis where a part is a sum."""
        parts: list[Node] = []
        for _ in range(2):
            opened = self.tokens[self.i]
            if opened.kind not in _OPEN:
                raise complain("missing-operand", (token.start, token.end), found="\\frac")
            group = self._group(opened)
            assert isinstance(group, Group)
            parts.append(group.inner if isinstance(group.inner, (Number, Name, Power, Trig, Group)) else group)
        top, bottom = parts
        factors = list(top.inner.factors) if isinstance(top, Group) and isinstance(top.inner, Product) else [("", top)]
        factors.append(("/", bottom))
        return Product(tuple(factors), (token.start, bottom.at[1]))

    # -- complaints ------------------------------------------------------------------------------------------------

    def _shown(self, token: Token) -> str:
        return self.scanner.text[token.start : token.end]

    def _nothing_after(self, before: Token | None, token: Token) -> Complaint:
        """No operand where one is needed: what is said depends on what stands on either side."""
        at = (token.start, token.end)
        if (
            before is not None
            and before.kind not in _OPEN
            and before.kind != "frac"
            and not (before.kind in RELATIONS and token.kind in ("*", "/", "^", "power"))
        ):
            return complain("missing-operand", (before.start, before.end), found=self._shown(before))
        if token.kind in _CLOSE:
            return complain("missing-open", at, found=token.kind, open=_CLOSE[token.kind])
        if token.kind == "end":
            last = self.tokens[self.i - 1] if self.i else token
            if last.kind in _OPEN:
                return complain("missing-close", (last.start, last.end), close=_OPEN[last.kind])
            return complain("missing-operand", (last.start, last.end), found=self._shown(last))
        return complain("missing-left", at, found=self._shown(token))

    def _misplaced(self, token: Token) -> Complaint:
        at = (token.start, token.end)
        if token.kind in _CLOSE:
            return complain("missing-open", at, found=token.kind, open=_CLOSE[token.kind])
        if token.kind == "⇒":
            return complain("two-arrows", at)
        return complain("missing-left", at, found=self._shown(token))


def _opened(node: Node) -> list[tuple[str, Node]]:
    """A fraction joins the product that it stands in: its factors side by side with the others."""
    return [("", node)] if not isinstance(node, Product) else list(node.factors)
