"""What would make a stamp pass that is blocked: looked for beside Blender, and kept until the stamp changes."""
