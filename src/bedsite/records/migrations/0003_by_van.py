"""Indexes of what is open for a van and of cards that wait for a merge; neither table has triggers to lose."""

from __future__ import annotations

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = (("records", "0002_never_changed"),)
    operations = (
        migrations.AddIndex("step", models.Index(fields=("state", "due", "run"), name="step_by_van")),
        migrations.AddIndex(
            "head",
            models.Index(fields=("kind", "folded"), name="head_with_asides", condition=models.Q(asides__gt=0)),
        ),
    )
