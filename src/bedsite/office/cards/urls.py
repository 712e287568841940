"""Addresses of the card pages: the kind by its sheet's name, the card by its code."""

from __future__ import annotations

from django.urls import path, register_converter
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bedsite.office.cards import files, history, listing, merging, taking_in, views
from bedsite.office.cards.address import CodeInAddress

register_converter(CodeInAddress, "code")
_form = require_http_methods(["GET", "HEAD", "POST"])

urlpatterns = [
    path("cards/<slug:name>/", require_GET(listing.listed), name="cards"),
    path("cards/<slug:name>/new/", _form(views.new), name="card-new"),
    path("cards/<slug:name>/table/", require_GET(files.table), name="card-table"),
    path("cards/<slug:name>/card/<code:code>/", require_GET(views.card), name="card"),
    path("cards/<slug:name>/card/<code:code>/edit/", _form(views.edit), name="card-edit"),
    path("cards/<slug:name>/card/<code:code>/history/", require_GET(history.history), name="card-history"),
    path("cards/<slug:name>/card/<code:code>/compare/", require_GET(history.compare), name="card-compare"),
    path("cards/<slug:name>/card/<code:code>/out/", require_POST(history.out), name="card-out"),
    path("cards/<slug:name>/card/<code:code>/<int:number>/", require_GET(views.revision), name="card-revision"),
    path("cards/<slug:name>/card/<code:code>/<int:number>/back/", require_POST(history.back), name="card-back"),
    path("cards/<slug:name>/card/<code:code>/<int:number>/merge/", _form(merging.merge), name="card-merge"),
    path("workbook/", require_GET(files.workbook), name="workbook"),
    path("workbook/take-in/", _form(taking_in.take_in), name="import"),
]
