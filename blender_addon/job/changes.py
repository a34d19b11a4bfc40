"""What has changed of a stamp's properties goes from here to those who follow it; this room knows none of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from bpy.types import Object

Follower = Callable[["Object"], None]
"""Called with the root of a stamp."""

job_followers: list[Follower] = []
"""Called when what a stamp is made from has changed, or how it stands."""

press_followers: list[Follower] = []
"""Called when it has changed whether a stamp is pressed."""

trial_followers: list[Follower] = []
"""Called when it has changed what is shown of a trial."""

form_followers: list[Follower] = []
"""Called when another form was chosen for the base, before the others are told."""

_state = {"quiet": 0}


class quiet:
    """A block in which changes of properties start no build."""

    def __enter__(self) -> None:
        _state["quiet"] += 1

    def __exit__(self, *_about: object) -> None:
        _state["quiet"] -= 1


def is_quiet() -> bool:
    """Whether changes are not to be followed now."""
    return bool(_state["quiet"])


def tell(followers: list[Follower], held: Any) -> None:
    """Tell those who follow that properties of the stamp that holds them have changed."""
    for follower in followers:
        follower(held.id_data)
