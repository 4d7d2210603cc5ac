"""Why a photo is refused, each as a sentence for the person who sent it."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy as _


class PhotoRefused(ValueError):
    """A photo that is not taken. `facts` fill the sentence; `status` is the HTTP answer's."""

    status = 400
    sentence: Any = _("The photo can’t be taken.")

    def __init__(self, **facts: Any) -> None:
        super().__init__(facts)
        self.facts = facts

    def __str__(self) -> str:
        return str(self.sentence) % self.facts

    @property
    def code(self) -> str:
        """Name by which the helper process reports it."""
        return type(self).__name__


class EmptyFile(PhotoRefused):
    """No bytes, or too few to be anything."""

    sentence = _("The file is empty or not a photo.")


class NotAPhoto(PhotoRefused):
    """Something else, whatever its name says."""

    status = 415
    sentence = _(
        "This is not a photo that can be opened here. Only JPEG, PNG, WebP and HEIC are taken."
    )


class TooLarge(PhotoRefused):
    """More bytes than the limit."""

    status = 413
    sentence = _("The photo is too large: more than the limit of %(limit)s MB.")


class Incomplete(PhotoRefused):
    """Cut off on the way."""

    sentence = _("The photo arrived incomplete. Send it again.")


class TooManyPixels(PhotoRefused):
    """Within the limit of bytes, but a bomb when opened."""

    sentence = _(
        "The photo has too many pixels: %(found)s million, the limit for %(kind)s is %(limit)s "
        "million. Choose a lower resolution in the camera’s settings."
    )


class SideTooLong(PhotoRefused):
    """One side alone is beyond the limit."""

    sentence = _("The photo is %(width)s by %(height)s pixels; a side may have at most %(limit)s.")


class TooManyScans(PhotoRefused):
    """A JPEG in more parts than any camera writes."""

    sentence = _(
        "The photo builds up in %(found)s steps, the limit is %(limit)s. Save it as an ordinary "
        "JPEG and send it again."
    )


class Animation(PhotoRefused):
    """Several pictures in turn."""

    sentence = _("This is an animation, and animations are not taken. Send a single photo.")


class Damaged(PhotoRefused):
    """Complete, but not to be opened."""

    sentence = _("The photo is damaged and can’t be opened. Take it again or send another one.")


class HeicUnreadable(Damaged):
    """A picture in a phone's newer format that our decoder doesn't read, or a damaged one."""

    status = 415
    sentence = _(
        "This HEIC or AVIF photo is damaged or of a kind that can’t be opened here. Take it again; "
        "if that doesn’t help, choose JPEG as the format in the settings of the phone’s camera."
    )


class TooMuchToOpen(PhotoRefused):
    """Opening it used up the time or memory of a helper process."""

    sentence = _(
        "The photo needs more than %(seconds)s seconds or %(megabytes)s MB of memory to open. "
        "Choose a lower resolution in the camera’s settings and take it again."
    )


class Interrupted(PhotoRefused):
    """The helper process was ended from outside."""

    status = 503
    sentence = _("Opening the photo was interrupted. Send it again.")


REFUSALS: dict[str, type[PhotoRefused]] = {
    cls.__name__: cls
    for cls in (
        EmptyFile,
        NotAPhoto,
        TooLarge,
        Incomplete,
        TooManyPixels,
        SideTooLong,
        TooManyScans,
        Animation,
        Damaged,
        HeicUnreadable,
        TooMuchToOpen,
        Interrupted,
    )
}
