"""What is found of a stamp that has come to rest."""

import importlib

import bpy
import pytest
from names import MODULE
from timer import tick_until_done


@pytest.fixture
def told(live):
    """Return a function from a stamp to what is found, by its kinds, once it has come to rest."""
    verdict = importlib.import_module(f"{MODULE}.press.verdict")

    def findings(root):
        bpy.context.view_layer.update()
        tick_until_done(live)
        found = {}
        for each in verdict.findings_of(root):
            found[each.kind] = f"{found.get(each.kind, '')} {each.message}"
        return found

    return findings
