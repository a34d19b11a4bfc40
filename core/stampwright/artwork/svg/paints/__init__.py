"""Paints: plain colours, gradients and patterns, laid on a region as marks."""

from __future__ import annotations

from .laying import laid

__all__ = ["laid"]
