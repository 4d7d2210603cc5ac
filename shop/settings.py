"""Settings of the project. What may differ from place to place is read by `shop.environment`."""

import secrets
from pathlib import Path
from urllib.parse import urlsplit

from shop import environment

BASE_DIR = Path(__file__).resolve().parent.parent

DEMO = environment.flag("BAYWITNESS_DEMO")
DEBUG = environment.flag("BAYWITNESS_DEBUG")
DATA = environment.data_folder(demo=DEMO)
PHOTO_FOLDER = DATA / "photos"

# Commands that sign nothing may run before the first start has made a lasting secret.
SECRET_KEY = environment.secret_key(DATA) or secrets.token_urlsafe(48)
SECRET_KEY_FALLBACKS = [key for key in [environment.text("BAYWITNESS_SECRET_BEFORE")] if key]

ADDRESS = environment.text("BAYWITNESS_ADDRESS", "http://localhost:8000").rstrip("/")
SECURE = ADDRESS.startswith("https://")
ALLOWED_HOSTS = environment.hosts(urlsplit(ADDRESS).hostname or "localhost")
CSRF_TRUSTED_ORIGINS = [ADDRESS]

INSTALLED_APPS = [
    "shop.apps.ShopConfig",
    "measurements.apps.MeasurementsConfig",
    "jobs.apps.JobsConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_filters",
    "django_htmx",
    "axes",
]

MIDDLEWARE = [
    "shop.middleware.ContentPolicyMiddleware",
    "django.middleware.security.SecurityMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "shop.middleware.ShopMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "shop.urls"
WSGI_APPLICATION = "shop.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": False,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "shop.context.shop",
            ],
            "builtins": ["django.templatetags.i18n", "shop.templatetags.look"],
        },
    },
]

DATABASES = {"default": environment.database(DATA)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "shop.Person"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {
        "NAME": "django.contrib.auth.password_validation.MinimumLengthValidator",
        "OPTIONS": {"min_length": 12},
    },
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {
        "NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator",
        "OPTIONS": {"user_attributes": ["username", "name"]},
    },
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
LOGIN_URL = "sign-in"
LOGIN_REDIRECT_URL = "today"
LOGOUT_REDIRECT_URL = "sign-in"

# Wrong tries are counted by name and by address, and apart on a device that is known: a workshop's
# phones share one address. Nothing renews a lock-out.
AXES_FAILURE_LIMIT = 10
AXES_COOLOFF_TIME = environment.ONE_MINUTE
AXES_RESET_COOL_OFF_ON_FAILURE_DURING_LOCKOUT = False
AXES_LOCKOUT_PARAMETERS = "shop.device.counted_by"
AXES_LOCKOUT_CALLABLE = "shop.views.door.slowed"
AXES_RESET_ON_SUCCESS = True
AXES_DISABLE_ACCESS_LOG = True  # sign-ins are logged by the shop, without names
AXES_SENSITIVE_PARAMETERS = ["username", "ip_address", "user_agent", "csrfmiddlewaretoken"]
AXES_VERBOSE = False
AXES_ENABLE_ADMIN = False

SESSION_ENGINE = "shop.sessions"
SESSION_COOKIE_NAME = "__Host-sessionid" if SECURE else "sessionid"
SESSION_COOKIE_AGE = 30 * 24 * 3600
SESSION_COOKIE_SECURE = SECURE
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_NAME = "__Host-csrftoken" if SECURE else "csrftoken"
CSRF_COOKIE_SECURE = SECURE
CSRF_COOKIE_HTTPONLY = True
CSRF_FAILURE_VIEW = "shop.views.errors.send_again"

SECURE_SSL_REDIRECT = False  # one process serves one scheme; a proxy in front redirects
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if SECURE else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE
SECURE_HSTS_PRELOAD = False
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
X_FRAME_OPTIONS = "DENY"
SECURE_CSP = {
    "default-src": ["'none'"],
    "script-src": ["'self'"],
    "style-src": ["'self'"],
    "img-src": ["'self'", "blob:"],
    "font-src": ["'self'"],
    "connect-src": ["'self'"],
    "worker-src": ["'self'"],
    "manifest-src": ["'self'"],
    "form-action": ["'self'"],
    "base-uri": ["'none'"],
    "object-src": ["'none'"],
    "frame-ancestors": ["'none'"],
}
SILENCED_SYSTEM_CHECKS = [
    "security.W008",  # SECURE_SSL_REDIRECT: see there
    "security.W021",  # no preload: the address may be a private one
]

LANGUAGE_CODE = "en"
TIME_ZONE = "UTC"
USE_I18N = True
USE_TZ = True

STATIC_URL = "static/"
STATICFILES_FINDERS = [
    "django.contrib.staticfiles.finders.AppDirectoriesFinder",
    "shop.finders.FontFinder",
]
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = DEBUG

FILE_UPLOAD_PERMISSIONS = 0o640
FILE_UPLOAD_TEMP_DIR = None
FILE_UPLOAD_HANDLERS = [
    "jobs.uploads.SizeLimit",
    "django.core.files.uploadhandler.MemoryFileUploadHandler",
    "django.core.files.uploadhandler.TemporaryFileUploadHandler",
]
DATA_UPLOAD_MAX_MEMORY_SIZE = 2_500_000
DATA_UPLOAD_MAX_NUMBER_FIELDS = 2_000
DATA_UPLOAD_MAX_NUMBER_FILES = 40

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"()": "shop.logs.LineFormatter"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {
        "baywitness": {"level": "INFO"},
        "django": {"handlers": ["console"], "level": "WARNING", "propagate": False},
    },
}
