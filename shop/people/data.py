"""What parts may set, in the words of forms."""

from __future__ import annotations

ADJUSTERS = (
    ("", "Sets nothing"),
    ("top_mount_in_mm", "Top mount inboard, mm"),
    ("top_mount_back_mm", "Top mount rearward, mm"),
    ("lower_arm_out_mm", "Lower arm outboard, mm"),
    ("upper_arm_in_mm", "Upper arm inboard, mm"),
    ("knuckle_camber_deg", "Camber at the knuckle, °"),
    ("toe_link_mm", "Toe link longer, mm"),
    ("ride_height_mm", "Ride height higher, mm"),
    ("bump_stop_mm", "Packer or bump stop, mm"),
)
