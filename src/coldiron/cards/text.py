"""Cards parsed and printed: the part of this room that needs the language whole."""

from coldiron.cards.building import built
from coldiron.cards.printing import as_kept, card_text

__all__ = ["as_kept", "built", "card_text"]
