"""Commands before anything is made: settings, templates, pieces, and looks at the art."""
