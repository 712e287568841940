"""Addresses of the card pages: the kind by its sheet's name, the card by its code (`parts.address`)."""

from __future__ import annotations

from django.urls import path
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from bedsite.office.cards import files, history, listing, merging, taking_in, views
from bedsite.parts.address import CODE

_form = require_http_methods(["GET", "HEAD", "POST"])

urlpatterns = [
    path("cards/<slug:name>/", require_GET(listing.listed), name="cards"),
    path("cards/<slug:name>/new/", _form(views.new), name="card-new"),
    path("cards/<slug:name>/table/", require_GET(files.table), name="card-table"),
    path(f"cards/<slug:name>/card/{CODE}/", require_GET(views.card), name="card"),
    path(f"cards/<slug:name>/card/{CODE}/edit/", _form(views.edit), name="card-edit"),
    path(f"cards/<slug:name>/card/{CODE}/history/", require_GET(history.history), name="card-history"),
    path(f"cards/<slug:name>/card/{CODE}/compare/", require_GET(history.compare), name="card-compare"),
    path(f"cards/<slug:name>/card/{CODE}/out/", require_POST(history.out), name="card-out"),
    path(f"cards/<slug:name>/card/{CODE}/<int:number>/", require_GET(views.revision), name="card-revision"),
    path(f"cards/<slug:name>/card/{CODE}/<int:number>/back/", require_POST(history.back), name="card-back"),
    path(f"cards/<slug:name>/card/{CODE}/<int:number>/merge/", _form(merging.merge), name="card-merge"),
    path("workbook/", require_GET(files.workbook), name="workbook"),
    path("workbook/take-in/", _form(taking_in.take_in), name="import"),
]
