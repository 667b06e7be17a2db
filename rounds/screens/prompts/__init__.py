"""What a screen asks in place: choices, figures, words, forms; and how a save is carried through."""
