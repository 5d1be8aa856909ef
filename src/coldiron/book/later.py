"""A mapping of a book that is made when it is first looked at: a job needs few of them."""

from __future__ import annotations

from collections.abc import Mapping

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, ItemsView, Iterator, KeysView, ValuesView
    from typing import Any


class Later(Mapping[str, "Any"]):
    """A mapping that is made when it is first looked at."""

    __slots__ = ("_made", "_make")

    def __init__(self, make: Callable[[], dict[str, Any]]) -> None:
        self._make = make
        self._made: dict[str, Any] | None = None

    def _all(self) -> dict[str, Any]:
        if self._made is None:
            self._made = self._make()
        return self._made

    def __getitem__(self, key: str) -> Any:
        """Return one entry."""
        return self._all()[key]

    def __iter__(self) -> Iterator[str]:
        """Walk the ids in the order of the files."""
        return iter(self._all())

    def __len__(self) -> int:
        """Count the entries."""
        return len(self._all())

    def __contains__(self, key: object) -> bool:
        """Tell whether there is an entry."""
        return key in self._all()

    def keys(self) -> KeysView[str]:
        """Return the ids; with `values`, `items` and `get` far quicker here than what `Mapping` makes of the others."""
        return self._all().keys()

    def values(self) -> ValuesView[Any]:
        """Return the entries."""
        return self._all().values()

    def items(self) -> ItemsView[str, Any]:
        """Return ids with entries."""
        return self._all().items()

    def get(self, key: str, default: Any = None) -> Any:
        """Return one entry, or what is given instead."""
        return self._all().get(key, default)

    def __repr__(self) -> str:
        """Show it as the mapping it is."""
        return repr(self._all())
