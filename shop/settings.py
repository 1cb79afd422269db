"""Settings of the site: works on a fresh clone, and takes everything else from the environment.

Variables are listed in README.md. Mistakes of a deployment are found by ``shop.site.checks``.
"""

from __future__ import annotations

import os
import sys
import tomllib
from pathlib import Path

from shop.site.env import database_from_url, env_bool, env_int, env_list, env_str, sqlite_database
from shop.site.language_list import languages_in

# Small matrices gain nothing from threads of their own, and eight requests at once would fight.
# numpy reads this when it is loaded, which is later than here.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

BASE_DIR = Path(__file__).resolve().parent.parent
VAR_DIR = Path(env_str("ARCHROOM_VAR", str(BASE_DIR / "var")))
TESTING = "pytest" in sys.modules
#: Stated once, in pyproject.toml.
VERSION: str = tomllib.loads((BASE_DIR / "pyproject.toml").read_text())["project"]["version"]

# A clone runs in debug mode on its own machine; a deployment says ARCHROOM_DEBUG=no.
DEBUG = env_bool("ARCHROOM_DEBUG", True)
DEVELOPMENT_KEY = "development-only-key-that-the-system-checks-refuse-outside-debug"
SECRET_KEY = env_str("ARCHROOM_SECRET_KEY", DEVELOPMENT_KEY)
SECRET_KEY_FALLBACKS = env_list("ARCHROOM_OLD_SECRET_KEYS")
LOCAL_HOSTS = ["localhost", "127.0.0.1", "[::1]"]
ALLOWED_HOSTS = env_list("ARCHROOM_HOSTS", LOCAL_HOSTS if DEBUG else [])
SITE_URL = env_str("ARCHROOM_URL", "http://127.0.0.1:8000" if DEBUG else "").rstrip("/")
CSRF_TRUSTED_ORIGINS = env_list("ARCHROOM_TRUSTED_ORIGINS", [SITE_URL] if SITE_URL else [])

INSTALLED_APPS = [
    "shop.apps.ShopConfig",
    "alignment.apps.AlignmentConfig",
    "fitment.apps.FitmentConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django_htmx",
    "template_partials",
    "axes",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    # Pages are compressed with a padding of random length (CVE-2013-3587, "BREACH").
    "django.middleware.gzip.GZipMiddleware",
    "shop.site.middleware.ContentPolicy",
    "shop.site.middleware.DraftsSaved",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
    "shop.site.reader.ReaderLanguage",
    "shop.site.middleware.OwnNotFound",
    "shop.site.middleware.PlainText",
    "shop.site.middleware.ShopTime",
    "shop.site.sending.Sending",
]

ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "builtins": [
                "django.templatetags.i18n",
                "shop.templatetags.archroom",
                "alignment.templatetags.told",
            ],
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "shop.site.view_helpers.site",
            ],
        },
    },
]

# Data
POOL_SIZE = env_int("ARCHROOM_DB_POOL", 0 if TESTING else 4)
DATABASE_URL = env_str("DATABASE_URL")
if DATABASE_URL:
    DATABASES = {"default": database_from_url(DATABASE_URL, POOL_SIZE)}
    if DB_PASSWORD := env_str("ARCHROOM_DB_PASSWORD"):
        DATABASES["default"]["PASSWORD"] = DB_PASSWORD
else:
    VAR_DIR.mkdir(parents=True, exist_ok=True)
    DATABASES = {"default": sqlite_database(VAR_DIR / "archroom.sqlite3")}
#: Where no worker is about, tasks are worked off in the process that serves pages.
TASKS_IN_PROCESS = not TESTING
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
MEDIA_ROOT = VAR_DIR / "media"
MEDIA_URL = ""  # uploads leave only through views that check who asks
FILE_UPLOAD_PERMISSIONS = 0o640
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024

# People
AUTH_USER_MODEL = "shop.User"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 10},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "login"

# The throttle of sign-ins: five wrong passwords for one name from one address close that pair
# for a quarter of an hour. Other users are not affected.
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = 0.25
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_LOCKOUT_CALLABLE = "shop.site.error_views.locked_out"
AXES_RESET_ON_SUCCESS = True
AXES_HTTP_RESPONSE_CODE = 429
AXES_DISABLE_ACCESS_LOG = True
AXES_VERBOSE = False
# How many proxies of our own stand before the app; their X-Forwarded-For is believed.
PROXY_COUNT = env_int("ARCHROOM_PROXIES", 0)
AXES_CLIENT_IP_CALLABLE = "shop.site.view_helpers.client_address"

# Words, numbers, time. A folder in locale/ is a language; the shop's own is that of what is
# written for all, and of readers who have not chosen another.
LOCALE_PATHS = [BASE_DIR / "locale"]
LANGUAGES = languages_in(BASE_DIR / "locale")
LANGUAGE_CODE = env_str("ARCHROOM_LANGUAGE", "en-gb")
USE_I18N = True
USE_TZ = True
TIME_ZONE = env_str("ARCHROOM_TIMEZONE", "Europe/Berlin")

# Files of the pages
STATIC_URL = "/static/"
STATIC_ROOT = Path(env_str("ARCHROOM_STATIC", str(VAR_DIR / "static")))
STATICFILES_DIRS = [BASE_DIR / "static"]
PLAIN_STATIC = DEBUG or TESTING
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if PLAIN_STATIC
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
WHITENOISE_USE_FINDERS = PLAIN_STATIC
WHITENOISE_AUTOREFRESH = DEBUG

# The wire. Everything that needs TLS is on wherever debug is off.
SECURE = not DEBUG
SESSION_COOKIE_SECURE = SECURE
CSRF_COOKIE_SECURE = SECURE
SESSION_COOKIE_HTTPONLY = True
CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_AGE = 60 * 60 * 24 * 14
SECURE_SSL_REDIRECT = SECURE and env_bool("ARCHROOM_TLS_REDIRECT", True)
SECURE_REDIRECT_EXEMPT = [r"^healthz/$"]
SECURE_HSTS_SECONDS = env_int("ARCHROOM_HSTS_SECONDS", 60 * 60 * 24 * 365) if SECURE else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE
SECURE_HSTS_PRELOAD = SECURE
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
if PROXY_COUNT:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
CSRF_FAILURE_VIEW = "shop.site.error_views.csrf_failed"
CONTENT_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; worker-src 'self'; form-action 'self'; frame-ancestors 'none'; "
    "base-uri 'none'"
)

# Mail: by the given server, and none without one. Port 465 speaks TLS from the first byte,
# any other begins it by STARTTLS.
EMAIL_HOST = env_str("ARCHROOM_MAIL_HOST")
EMAIL_PORT = env_int("ARCHROOM_MAIL_PORT", 587)
EMAIL_HOST_USER = env_str("ARCHROOM_MAIL_USER")
EMAIL_HOST_PASSWORD = env_str("ARCHROOM_MAIL_PASSWORD")
MAIL_TLS = env_bool("ARCHROOM_MAIL_TLS", True)
EMAIL_USE_SSL = MAIL_TLS and EMAIL_PORT == 465
EMAIL_USE_TLS = MAIL_TLS and not EMAIL_USE_SSL
EMAIL_TIMEOUT = 30
DEFAULT_FROM_EMAIL = env_str("ARCHROOM_MAIL_FROM") or "shop@localhost"
EMAIL_BACKEND = (
    "django.core.mail.backends.smtp.EmailBackend"
    if EMAIL_HOST
    else "django.core.mail.backends.console.EmailBackend"
)

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {
        "shop": {"level": "INFO"},
        "alignment": {"level": "INFO"},
        "fitment": {"level": "INFO"},
    },
}

if TESTING:
    PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
