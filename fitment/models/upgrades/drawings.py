"""Drawings of a check in older shapes."""

from __future__ import annotations

from fitment.models.upgrades.messages import Document


def drawings_to_letter(drawings: Document) -> Document:
    """Version 1 kept a drawing for the shop and one for customers; now one is lettered for both."""
    return {
        corner: {
            name: _scene_to_letter(kept[reader])
            for name, reader in (("alone", "shop"), ("beside", "beside"))
            if kept.get(reader)
        }
        for corner, kept in drawings.items()
    }


def _scene_to_letter(scene: Document) -> Document:
    parts = [
        {**part, "words": part.get("words") or f"{part['length_mm']:g} mm"}
        if part["is"] == "ScaleBar"
        else part
        for part in scene["parts"]
    ]
    return {**scene, "description": [scene["description"]], "parts": parts}
