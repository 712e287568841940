"""Tags for pages: a form row, a number with its unit, a field's value, a fault, a link where rights allow it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django import template
from django.urls import NoReverseMatch, reverse
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString

from bedsite.parts import links
from bedsite.parts.rows import FormRow, from_bound
from bedwright.works.workbook.cells import as_text

register = template.Library()


@register.inclusion_tag("parts/form_row.html")
def form_row(row: Any, unit: str = "", usual: str = "") -> dict[str, object]:
    """A form row, from a FormRow or from a Django form's field."""
    if not isinstance(row, FormRow):
        row = from_bound(row)
    return {"row": row, "unit": unit or row.unit, "usual": usual or row.usual}


@register.inclusion_tag("parts/number.html")
def number(value: object, unit: str = "") -> dict[str, object]:
    """A number with its unit in a smaller, lighter face; nothing at all for what is empty."""
    return {"text": as_text(value), "unit": unit}


@register.filter
def field(value: object) -> str:
    """A field's value as people read it: yes and no, days as 2026-11-02, numbers without trailing noughts."""
    return as_text(value)


@register.filter
def nth(items: Any, place: int) -> Any:
    """The item at a place, counted from 0: for columns beside their cells."""
    return items[place]


@register.filter
def moment(at: datetime | None) -> str:
    """A moment in the zone of the works (or UTC where nobody set one), to the minute."""
    if at is None:
        return ""
    return timezone.localtime(at).strftime("%Y-%m-%d %H:%M %Z")


@register.inclusion_tag("parts/fault.html")
def fault(says: object) -> dict[str, object]:
    """Bad news in words and a heavy rule."""
    return {"says": says}


@register.simple_tag(takes_context=True)
def link(context: template.Context, page: str, words: str, *args: object) -> SafeString | str:
    """A link in words, where this person may look at the page; else nothing."""
    request = context.get("request")
    if request is None or not links.may(request, page):
        return ""
    try:
        to = reverse(page, args=args)
    except NoReverseMatch:  # a row of rights for a page that is not built in here
        return ""
    if to == request.path:
        return format_html('<a href="{}" aria-current="page">{}</a>', to, words)
    return format_html('<a href="{}">{}</a>', to, words)


@register.simple_tag(takes_context=True)
def may(context: template.Context, page: str, verb: str = "GET") -> bool:
    """Whether this person may call a page: for buttons."""
    request = context.get("request")
    return request is not None and links.may(request, page, verb)
