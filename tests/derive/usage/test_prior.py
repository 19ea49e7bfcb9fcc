"""The prior of a kind and its digest."""

from __future__ import annotations

import msgspec

from dipmark.derive.usage.prior import Prior


def test_the_digest_is_that_of_what_it_says() -> None:
    one, same = Prior(), msgspec.json.decode(msgspec.json.encode(Prior()), type=Prior)
    assert one == same
    assert one.digest == same.digest
    assert len(one.digest) == 64
    assert Prior(memory=60.0).digest != one.digest
