"""Templates: stamps laid out in advance, to be filled with words of one's own."""

from .filling import fill_template
from .template import Template, list_templates, read_template, template_called

__all__ = ["Template", "fill_template", "list_templates", "read_template", "template_called"]
