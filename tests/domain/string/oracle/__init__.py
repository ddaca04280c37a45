"""A second, deliberately plain reading of laws 1 to 5: held, within rating, nothing temporary below
the table, connections finished, stations dressed.

It was written from the design alone and shares no code with `app.domain.string`: when the two agree
on a sheet with a step wrong, they agree for reasons of their own.
"""

from tests.domain.string.oracle.oracle import LAWS_PROVED, Oracle, broken_laws, greatest_loads

__all__ = ["LAWS_PROVED", "Oracle", "broken_laws", "greatest_loads"]
