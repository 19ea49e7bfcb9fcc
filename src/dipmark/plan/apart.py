"""Parts of a plan that share nothing: each is solved by itself."""

from __future__ import annotations

from collections.abc import Hashable, Sequence

import msgspec

from dipmark.plan.jobs import Visit
from dipmark.plan.places import Ground


class Apart(msgspec.Struct, frozen=True, eq=False):
    """Visits that share nothing with the others, and the room they may take.

    Args:
        visits: in the order they came.
        about: jobs and room; of the room only the stretches where they may stand and the groups of their trucks.
    """

    visits: tuple[Visit, ...]
    about: Ground


def apart(visits: Sequence[Visit], about: Ground) -> tuple[Apart, ...]:
    """The parts of a plan. Those without a visit are put together in a last one.

    Args:
        visits: to be planned.
        about: jobs and room.

    Visits belong together where one stretch may take both, where they are visits to trucks of one group, and where they
    need bays of one kind in one yard.
    """
    chief: dict[Hashable, Hashable] = {}

    def find(one: Hashable) -> Hashable:
        while (above := chief.setdefault(one, one)) != one:
            one = above
        return one

    for number, visit in enumerate(visits):
        ties: list[Hashable] = [visit.truck, about.group.get(visit.truck, visit.truck)]
        ties += [(job.bay, job.place) for job in (about.jobs[name] for name in visit.jobs) if job.bay]
        ties += [stretch for stretch in about.room.stretches if about.spot(visit.jobs, stretch) is not None]
        for tie in ties:
            chief[find(tie)] = find(number)
    parts: dict[Hashable, list[Visit]] = {}
    for number, visit in enumerate(visits):
        parts.setdefault(find(number), []).append(visit)
    groups = {group.id: find(group.id) if group.id in chief else None for group in about.room.groups}
    stretches = {one: find(one) if one in chief else None for one in about.room.stretches}
    return tuple(
        Apart(
            tuple(parts.get(top, ())),
            msgspec.structs.replace(
                about,
                room=msgspec.structs.replace(
                    about.room,
                    stretches=tuple(one for one in about.room.stretches if stretches[one] == top),
                    groups=tuple(one for one in about.room.groups if groups[one.id] == top),
                ),
            ),
        )
        for top in (*parts, None)
    )
