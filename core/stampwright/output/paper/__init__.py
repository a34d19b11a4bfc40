"""What is looked at and printed on paper: the picture of the impression, the proof and the ticket."""
