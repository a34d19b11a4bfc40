"""What goes on beside Blender: edits are noticed, and what is due is taken up by one timer."""
