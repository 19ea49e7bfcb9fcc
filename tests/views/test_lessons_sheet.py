"""What keeps breaking, on paper."""

from __future__ import annotations

from datetime import UTC, datetime

import msgspec

from derive.builders import ZONE
from derive.lessons.made import fault, made, walk, when
from dipmark.derive.lessons.vigilance import Shown
from dipmark.derive.lessons.yard import lessons
from dipmark.facts.base import YARD as BOOK
from dipmark.facts.base import PersonKey
from dipmark.views.lessons import Watcher, lessons_page
from dipmark.views.lessons_sheet import lessons_sheet
from dipmark.views.paper import yard_head
from lessons.seeded import RULES, YARD

KIM = PersonKey("p-kim")


def test_it_holds_what_the_page_says_and_names_nobody() -> None:
    found = lessons([made((0, walk()), (100, fault()))], RULES, YARD, when(1000), ZONE)
    sign = Shown(by=KIM, sign="quick", marked=9, of=9, others_marked=0, others_of=90, chance=0, facts=(), said=True)
    page = lessons_page(
        msgspec.structs.replace(found, signs=(sign,)), RULES, {KIM: "Kim"}, "GB", Watcher(KIM, all=True)
    )
    head = yard_head(BOOK, "1-A", None, RULES, datetime(2026, 11, 20, tzinfo=UTC), UTC)
    sheet = lessons_sheet(page, head)
    assert (sheet.head, sheet.advice, sheet.sections) == (head, page.advice, page.sections)
    assert sheet.yard[0].startswith("9 of 9 sheets made too quickly")
    assert "Kim" in page.signs.own[0].text
    assert "Kim" not in msgspec.json.encode(sheet).decode()
