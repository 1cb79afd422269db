"""The side view of a checked corner: from outboard, in the pose that decides it."""

from __future__ import annotations

from common.corners import is_left
from common.message import Message, message
from fitment.engine.curves.at_pose import CornerAtPose, corner_at_pose
from fitment.engine.deciding import worst_spot
from fitment.engine.drawing.scene import Scene
from fitment.engine.drawing.side_drawing import side_scene
from fitment.engine.findings import pose_of
from fitment.engine.minimum.setting import setting_of
from fitment.engine.model import Corner, CornerAnswer, Duty, PoseAt


def side_view(name: str, corner: Corner, duty: Duty, answer: CornerAnswer) -> Scene | None:
    """The side view at the tightest pose of a corner; None for a survey without spots.

    Raises what settling a corner raises.
    """
    if not answer.places:
        return None
    setting = setting_of(name, corner, duty)
    worst = worst_spot(answer)
    at = worst.at if worst else PoseAt(0.0, 0.0)
    pose = corner_at_pose(setting, answer.places, at, load=at.load)
    return side_scene_at(name, pose, decides=worst.place if worst else None)


def side_scene_at(name: str, pose: CornerAtPose, *, decides: str | None = None) -> Scene:
    """The side view of a corner in a pose, under its title."""
    return side_scene(
        pose,
        front_left=is_left(name),
        title=title_of("side", name, pose),
        decides=decides,
    )


def title_of(which: str, name: str, pose: CornerAtPose) -> Message:
    """The title of a drawing of a pose: ``which`` is "side" or "section"."""
    at = pose.at
    return message(
        f"pose-drawing.{which}",
        corner=message(f"corner.{name}"),
        pose=pose_of(at.travel_mm, at.steer_deg, load=at.load),
    )
