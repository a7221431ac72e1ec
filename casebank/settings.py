"""Settings, all from the environment. A difference between machines is a variable someone can read.

DJANGO_DEBUG, DJANGO_SECRET_KEY, DJANGO_ALLOWED_HOSTS, DJANGO_CSRF_TRUSTED_ORIGINS, DJANGO_HTTPS, DJANGO_BEHIND_PROXY,
DATABASE_URL, CASEBANK_DATA, CASEBANK_CRITERIA_DIR, NUMBA_CACHE_DIR.
"""

import os
from pathlib import Path

from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from casebank import environment

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = environment.folder("CASEBANK_DATA", BASE_DIR / ".data")
CRITERIA_DIR = environment.folder_if_named("CASEBANK_CRITERIA_DIR")  # a school's own criteria sets
COMPILED_DIR = environment.compiled_code(DATA_DIR / "compiled")  # what `warm` compiles and every process then reads
THIS_MACHINE = ("localhost", "127.0.0.1", "[::1]")

DEBUG = environment.yes("DJANGO_DEBUG", default=True)
HTTPS = environment.yes("DJANGO_HTTPS", default=not DEBUG)
SECRET_KEY = environment.text("DJANGO_SECRET_KEY", "for-a-single-machine-only-never-for-a-school" if DEBUG else None)
if not DEBUG and len(SECRET_KEY) < 50:
    raise ImproperlyConfigured("DJANGO_SECRET_KEY is shorter than 50 characters: make a long random one")
ALLOWED_HOSTS = environment.names("DJANGO_ALLOWED_HOSTS", THIS_MACHINE if DEBUG else ())
if not ALLOWED_HOSTS:
    raise ImproperlyConfigured("DJANGO_ALLOWED_HOSTS is empty: name the hosts this site answers for")
if DEBUG and not set(ALLOWED_HOSTS) <= set(THIS_MACHINE):
    raise ImproperlyConfigured(
        "DJANGO_ALLOWED_HOSTS names other hosts while DJANGO_DEBUG is on: set DJANGO_DEBUG=false to serve others"
    )
CSRF_TRUSTED_ORIGINS = environment.names("DJANGO_CSRF_TRUSTED_ORIGINS")

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "csp",
    "casebank",
    "assess",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
]
ROOT_URLCONF = "casebank.urls"
WSGI_APPLICATION = "casebank.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "casebank.views.ways.ways",
            ],
        },
    }
]

SQLITE = {
    "ENGINE": "django.db.backends.sqlite3",
    "NAME": DATA_DIR / "casebank.sqlite3",
    "OPTIONS": {
        "timeout": 20,
        "transaction_mode": "IMMEDIATE",
        "init_command": (
            "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA foreign_keys=ON; "
            "PRAGMA mmap_size=134217728; PRAGMA journal_size_limit=27103364; PRAGMA cache_size=2000;"
        ),
    },
}
DATABASES = {
    "default": environment.postgresql(os.environ["DATABASE_URL"]) if os.environ.get("DATABASE_URL") else SQLITE
}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "casebank.User"
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "django.contrib.auth.password_validation.NumericPasswordValidator"},
]

LANGUAGE_CODE = "en"
LANGUAGES = [("en", "English")]
USE_TZ = True
TIME_ZONE = "UTC"

STATIC_URL = "static/"
STATIC_ROOT = DATA_DIR / "static"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}
WHITENOISE_USE_FINDERS = WHITENOISE_AUTOREFRESH = DEBUG

LOGGING = {  # everything to standard error: nothing is mailed and nothing is lost
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {"django": {"handlers": [], "level": "INFO"}},
}

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "base-uri": [NONE],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "object-src": [NONE],
    },
}
SESSION_COOKIE_AGE = 12 * 60 * 60
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
SESSION_COOKIE_SECURE = HTTPS
CSRF_COOKIE_SECURE = HTTPS
CSRF_COOKIE_HTTPONLY = True
CSRF_FAILURE_VIEW = "casebank.views.errors.form_expired"
SECURE_SSL_REDIRECT = HTTPS
SECURE_HSTS_SECONDS = 365 * 24 * 60 * 60 if HTTPS else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = HTTPS
SECURE_HSTS_PRELOAD = HTTPS
SECURE_REFERRER_POLICY = "same-origin"
SECURE_PROXY_SSL_HEADER = (
    ("HTTP_X_FORWARDED_PROTO", "https") if environment.yes("DJANGO_BEHIND_PROXY", default=False) else None
)
X_FRAME_OPTIONS = "DENY"
DATA_UPLOAD_MAX_MEMORY_SIZE = 1_000_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 500
