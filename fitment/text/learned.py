"""What earlier jobs taught about one spot, as plain text for a terminal."""

from __future__ import annotations

from alignment.text.render import SHOP, Reader, render
from common.message import message
from fitment.engine.learning.posterior import Posterior


def learned_text(found: Posterior, reader: Reader = SHOP) -> str:
    """The survey's error, the spread between cars, and the jobs to come; no newline at the end."""
    speech, learned = reader.speech, found.learned
    say = speech.say
    low, high = found.interval_mm
    observations = speech.say_many(
        "{count} observation", "{count} observations", learned.observations
    )
    cars = speech.say_many("{count} car", "{count} cars", learned.cars)
    lines = [
        say("learned from {observations} on {cars}", observations=observations, cars=cars),
        say(
            "added to the clearance: {shift} ± {sigma}",
            shift=speech.length(learned.shift_mm, 2, signed=True),
            sigma=speech.length(learned.sigma_mm, 2),
        ),
        say(
            "9 in 10 between {low} and {high}",
            low=speech.length(low, 2, signed=True),
            high=speech.length(high, 2, signed=True),
        ),
        say("from car to car: ± {sigma}", sigma=speech.length(learned.between_cars_mm, 2)),
    ]
    for number, job in enumerate(found.question.jobs, 1):
        chance = render(message("chance.touch", touch_share=found.touch_chance(job)), reader)
        lines.append(
            say(
                "job {number}, {clearance} ± {sigma} before: may touch {chance}",
                number=number,
                clearance=speech.length(job.predicted_mm, 1),
                sigma=speech.length(job.sigma_mm, 1),
                chance=chance,
            )
        )
    return "\n".join(lines)
