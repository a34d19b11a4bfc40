"""Panels of what came of it: findings, push, measures, real prints, pictures."""
