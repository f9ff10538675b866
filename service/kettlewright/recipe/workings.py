"""Formulas that are computed from their own text, and the book that records a calculation line by line.

A `Formula` is a function made from the text that a reader sees, so that text and figure always agree. Calculations go
through a `Book`; one that records nothing (`SILENT`) costs next to nothing.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from kettlewright.recipe.weighing import round_down, round_nearest, round_up

__all__ = ["SILENT", "Book", "Formula", "WorkingLine"]

Number = float | Sequence[float]

_FUNCTIONS: Mapping[str, Callable[..., float]] = {
    "sum": math.fsum, "sqrt": math.sqrt, "min": min, "max": max, "down_to": round_down, "nearest_to": round_nearest,
    "up_to": round_up}
_KNOWN: dict[str, Any] = {"__builtins__": {}, "float": float, **_FUNCTIONS}  # everything that a formula can call
_SIGNS = (ast.Expression, ast.BinOp, ast.UnaryOp, ast.Add, ast.Sub, ast.Mult, ast.Div, ast.USub, ast.Constant,
          ast.Name, ast.Load, ast.Call)


class Formula:
    """A formula; its text is both shown and computed.

    Parameters
    ----------
    text : str
        Arithmetic on names: + - * / ( ), sum, sqrt, min, max, down_to, nearest_to, up_to (mass, step). [text]

    Raises
    ------
    ValueError : the text contains anything else.
    """

    __slots__ = ("compute", "text")

    def __init__(self, text: str) -> None:
        self.text = text
        tree = ast.parse(text, mode="eval")
        names = {node.id: None for node in ast.walk(tree) if isinstance(node, ast.Name) and node.id not in _FUNCTIONS}
        for node in ast.walk(tree):
            if not isinstance(node, _SIGNS) or (isinstance(node, ast.Call) and (
                    not isinstance(node.func, ast.Name) or node.func.id not in _FUNCTIONS)):
                raise ValueError(f"{text!r} is more than arithmetic")
        self.compute: Callable[..., float] = eval(f"lambda *, {', '.join(names)}: float({text})", _KNOWN)

    def __call__(self, **numbers: Number) -> float:
        """The result for these numbers (by the names in the text). [unit of the formula]"""
        return self.compute(**numbers)

    def with_numbers(self, numbers: Mapping[str, Number]) -> str:
        """The text with numbers instead of the names (`numbers`, by name). [text]"""
        return ast.unparse(_InsertNumbers(numbers).visit(ast.parse(self.text, mode="eval")))


class _InsertNumbers(ast.NodeTransformer):
    def __init__(self, numbers: Mapping[str, Number]) -> None:
        self.numbers = numbers

    def visit_Call(self, node: ast.Call) -> ast.AST:
        # write out a sum over a list, as on a pocket calculator
        if isinstance(node.func, ast.Name) and node.func.id == "sum" and isinstance(node.args[0], ast.Name):
            numbers = self.numbers[node.args[0].id]
            assert isinstance(numbers, Sequence)
            terms: ast.expr = _constant(numbers[0] if numbers else 0.0)
            for number in numbers[1:]:
                terms = ast.BinOp(terms, ast.Add(), _constant(number))
            return terms
        node.args = [self.visit(argument) for argument in node.args]
        return node

    def visit_Name(self, node: ast.Name) -> ast.AST:
        number = self.numbers[node.id]
        assert isinstance(number, (int, float))
        return _constant(number)


def _constant(number: float) -> ast.expr:
    return ast.Constant(float(f"{number:.9g}") if number != int(number) or abs(number) >= 1e9 else int(number))


@dataclass(frozen=True, slots=True)
class WorkingLine:
    """One line of a calculation.

    Parameters
    ----------
    figure : str
        Name of the result. [text]
    formula, numbers : str
        With names, and with numbers; for a figure from a table, the place in the table. [text]
    result : float
        The result. [`unit`]
    unit, source : str
        Its unit; what the formula is based on. [text]
    """

    figure: str
    formula: str
    numbers: str
    result: float
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class Book:
    """Records the lines of a calculation, or nothing.

    Parameters
    ----------
    lines : list of WorkingLine, optional
        The lines so far; None records nothing. [lines]
    """

    lines: list[WorkingLine] | None = field(default_factory=list)

    def work(self, figure: str, formula: Formula, unit: str, source: str, **numbers: Number) -> float:
        """Compute a formula and record the line.

        Parameters
        ----------
        figure, unit, source : str
            Name of the result, its unit, and what the formula is based on. [text]
        formula : Formula
            The formula. [formula]
        numbers : float or sequence of float
            By the names in the formula. [unit of the formula]

        Returns
        -------
        float : [`unit`]
        """
        result = formula.compute(**numbers)
        if self.lines is not None:
            self.lines.append(WorkingLine(figure, formula.text, formula.with_numbers(numbers), result, unit, source))
        return result

    def read_off(self, figure: str, value: float, unit: str, source: str, at: str) -> float:
        """Record a figure from a table or a larger model (`figure`, `value`, `unit`, `source`, `at`).

        Returns
        -------
        float : `value`. [`unit`]
        """
        if self.lines is not None:
            self.lines.append(WorkingLine(figure, f"read off {at}", at, value, unit, source))
        return value


SILENT = Book(lines=None)
"""A book that records nothing."""
