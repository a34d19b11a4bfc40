"""Looks: colours, finishes, ground and light that go together, chosen at once by their pictures."""
