"""How hard to push, and what the push does: stiffness, pressure over the face, the push curve and advice."""
