"""Pictures: of the parts, of the impression, and of how much prints at which push."""
