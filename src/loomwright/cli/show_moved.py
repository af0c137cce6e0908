"""What `import`, `export`, `backup` and `restore` say: what was carried, and what was not."""

from __future__ import annotations

from loomwright.cli.page import Page
from loomwright.cli.show_new import typed
from loomwright.loom import schema
from loomwright.services.backup import COME_IN_AGAIN, NO_SECRETS, Backup
from loomwright.services.bringing import Carried
from loomwright.services.counting import counted


def show_brought(carried: Carried, data: str) -> None:
    """Say what the workshop in that folder keeps now."""
    page = Page()
    page.say(f'The workshop keeps "{carried.name}" now: {_held(carried)}.')
    for name in carried.unseen:
        page.say(f"{name} is no photo that can be looked into, and is kept as it is.", lead="! ")
    place = f" --data {typed(data)}" if data else ""
    page.out.print(f"Then: loomwright serve{place}", soft_wrap=True)


def show_taken(carried: Carried) -> None:
    """Say what was written."""
    page = Page()
    page.say(f'Made "{carried.name}": {_held(carried)}.')
    if carried.left_behind:
        left = counted(carried.left_behind, "photo")
        page.say(f"A workbook holds no photos: {left} left behind. A .zip takes them.", lead="! ")
    page.out.print(f"Then: loomwright check {typed(carried.name)}", soft_wrap=True)


def show_backup(made: Backup) -> None:
    """Say what is in the backup."""
    page = Page()
    page.say(f'Made "{made.path}": {made.holds}.')
    if made.caution:
        page.say(made.caution, lead="! ")
    page.say(NO_SECRETS)


def show_restored(put: Backup) -> None:
    """Say what the workshop holds now."""
    page = Page()
    page.say(f"The workshop holds what it held on {put.made_at[:10]}: {put.holds}.")
    if put.caution:
        page.say(put.caution, lead="! ")
    page.say(COME_IN_AGAIN)


def _held(carried: Carried) -> str:
    rows = sum(len(carried.job.rows(table.name)) for table in schema.TABLES)
    return f"{counted(rows, 'row')}, {counted(carried.photos, 'photo')}"
