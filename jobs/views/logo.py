"""The shop's logo: shown on the report's preview, changed from the shop's own page."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from jobs.actions.logo import keep_logo, remove_logo
from jobs.photos import intake
from jobs.photos.refusals import PhotoRefused
from jobs.photos.store import NotStored
from jobs.process import HelperUnavailable
from shop.access import allowed


@require_safe
@allowed("see_tickets")
def show(request: HttpRequest) -> HttpResponse:
    """A small copy of the logo."""
    if not request.shop.logo_sha256:
        raise Http404
    try:
        path = intake.copy_path(settings.PHOTO_FOLDER, request.shop.logo_sha256, "thumb")
        copy = path.open("rb")
    except (OSError, PhotoRefused, HelperUnavailable) as fault:
        raise Http404 from fault
    response = FileResponse(copy, content_type="image/jpeg")
    response.headers["Content-Security-Policy"] = "default-src 'none'; sandbox"
    return response


@require_POST
@allowed("shop_profile")
def change(request: HttpRequest) -> HttpResponse:
    """Another logo, or none: fields `logo` (a file) or `remove`."""
    if "remove" in request.POST:
        remove_logo(by=request.user)
        messages.success(request, _("Reports are printed without a logo from now on."))
    elif upload := request.FILES.get("logo"):
        try:
            keep_logo(upload=upload, by=request.user)
            messages.success(request, _("The logo is saved and stands on reports from now on."))
        except (PhotoRefused, NotStored) as refusal:
            messages.error(request, _("The logo was not taken: %(why)s") % {"why": refusal})
    else:
        messages.error(request, _("Choose a picture for the logo first."))
    return HttpResponseRedirect(reverse("shop-profile"), status=303)
