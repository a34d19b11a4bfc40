"""What a toolpath lays: beads, what they cover, the things and layers that they make, and how they are fed."""
