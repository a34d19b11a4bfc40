"""Style sheets of a drawing: their rules, those in layers, in others and under conditions."""
