"""What the asset browser is given: nodes that shape a die's face, finishes, bases, and handles of the artist's own."""
