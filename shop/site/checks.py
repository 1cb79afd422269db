"""Mistakes of a deployment, found before the first page is served.

Each has an id and says what to do. ``manage.py check --deploy`` runs all of them; those that
would make every visit fail, or leave the door open, also stop the ordinary ``check``.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from django.apps import AppConfig
from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register

from shop.languages.catalogues import catalogues, is_stale

PASSING_FOLDERS = (Path("/tmp"), Path("/run"), Path("/dev/shm"))  # noqa: S108


@register(Tags.security)
def the_key_is_secret(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    if settings.DEBUG or settings.SECRET_KEY != settings.DEVELOPMENT_KEY:
        return []
    return [
        Error(
            "Debug is off, but there is no secret key.",
            hint="Set ARCHROOM_SECRET_KEY, or ARCHROOM_SECRET_KEY_FILE to a file that holds it. "
            "50 random characters: python3 -c 'import secrets; print(secrets.token_urlsafe(50))'",
            id="archroom.E001",
        )
    ]


@register(Tags.security)
def debug_stays_at_home(
    app_configs: Sequence[AppConfig] | None, **kwargs: Any
) -> list[CheckMessage]:
    if not settings.DEBUG:
        return []
    public = [host for host in settings.ALLOWED_HOSTS if host not in settings.LOCAL_HOSTS]
    if not public:
        return []
    return [
        Error(
            f"Debug is on, and the site answers to {', '.join(public)}.",
            hint="Set ARCHROOM_DEBUG=no. Debug pages show settings and data to every visitor.",
            id="archroom.E002",
        )
    ]


@register(Tags.security)
def hosts_are_named(app_configs: Sequence[AppConfig] | None, **kwargs: Any) -> list[CheckMessage]:
    if settings.DEBUG:
        return []
    found: list[CheckMessage] = []
    if not settings.ALLOWED_HOSTS:
        found.append(
            Error(
                "No host name is allowed: every visit would be refused.",
                hint="Set ARCHROOM_HOSTS to the names of the site, separated by commas.",
                id="archroom.E003",
            )
        )
    if "*" in settings.ALLOWED_HOSTS:
        found.append(
            Error(
                "Any host name is allowed, so a forged one ends up in customers' links.",
                hint="Name the hosts in ARCHROOM_HOSTS.",
                id="archroom.E004",
            )
        )
    return found


@register(Tags.database)
def rows_survive_a_restart(
    app_configs: Sequence[AppConfig] | None, **kwargs: Any
) -> list[CheckMessage]:
    database = settings.DATABASES["default"]
    if settings.DEBUG or settings.TESTING or "sqlite3" not in str(database["ENGINE"]):
        return []
    path = Path(str(database["NAME"]))
    if not path.is_absolute() or any(path.is_relative_to(folder) for folder in PASSING_FOLDERS):
        return [
            Error(
                f"The database file {path} would not survive a restart.",
                hint="Set DATABASE_URL to a PostgreSQL server, or ARCHROOM_VAR to a folder on "
                "a disk that is kept and saved.",
                id="archroom.E005",
            )
        ]
    if not settings.DATABASE_URL and settings.VAR_DIR == settings.BASE_DIR / "var":
        return [
            Warning(
                f"The database lies inside the program's own folder ({path}).",
                hint="Set DATABASE_URL, or ARCHROOM_VAR to a folder that an update leaves alone.",
                id="archroom.W006",
            )
        ]
    return []


@register(Tags.security, deploy=True)
def links_reach_the_site(
    app_configs: Sequence[AppConfig] | None, **kwargs: Any
) -> list[CheckMessage]:
    if settings.DEBUG:
        return []
    parts = urlsplit(settings.SITE_URL)
    if parts.scheme != "https" or not parts.hostname:
        return [
            Error(
                "The site's own address, which customers' links begin with, is not set.",
                hint="Set ARCHROOM_URL to the https address of the site.",
                id="archroom.E007",
            )
        ]
    return []


@register(Tags.files)
def folders_can_be_written(
    app_configs: Sequence[AppConfig] | None, **kwargs: Any
) -> list[CheckMessage]:
    folder = Path(settings.MEDIA_ROOT)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        return [
            Error(
                f"Photos cannot be stored: {folder} ({error.strerror}).",
                hint="Give the app's user the right to write there, or set ARCHROOM_VAR.",
                id="archroom.E008",
            )
        ]
    return []


@register(Tags.translation)
def catalogues_are_compiled(
    app_configs: Sequence[AppConfig] | None, **kwargs: Any
) -> list[CheckMessage]:
    stale = [path.parent.parent.name for path in catalogues() if is_stale(path)]
    if not stale:
        return []
    return [
        Warning(
            f"Catalogues were not compiled since they changed: {', '.join(stale)}. Pages and "
            "letters speak English where they should not.",
            hint="Run: python manage.py compilemessages",
            id="archroom.W010",
        )
    ]
