"""The entry point of a web server: production unless told otherwise."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "casebank.settings")
os.environ.setdefault("DJANGO_DEBUG", "false")
application = get_wsgi_application()
