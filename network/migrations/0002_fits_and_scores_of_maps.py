"""Parameters that a village's maps learn, and more of how good each map is."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("network", "0001_initial"),
        ("stations", "0001_initial"),
    ]

    operations = [
        migrations.AddField(
            model_name="villagemap",
            name="crps",
            field=models.FloatField(
                default=0.0, help_text="Mean continuous ranked probability score of the same."
            ),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="villagemap",
            name="half_coverage",
            field=models.FloatField(default=0.0, help_text="Share of them inside the 50 % interval."),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="villagemap",
            name="mean_rmse",
            field=models.FloatField(
                default=0.0, help_text="RMSE of the mean of the other stations on the same."
            ),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="villagemap",
            name="method",
            field=models.CharField(
                default="kriging", help_text="The plainest that served best.", max_length=16
            ),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="villagemap",
            name="part",
            field=models.CharField(
                choices=[
                    ("day", "while the sun is up"),
                    ("night", "while the sun is down"),
                    ("all", "at all hours"),
                ],
                default="all",
                help_text="By whose fit it is made.",
                max_length=5,
            ),
            preserve_default=False,
        ),
        migrations.AlterField(
            model_name="work",
            name="stage",
            field=models.PositiveSmallIntegerField(
                choices=[
                    (1, "normalise"),
                    (2, "check"),
                    (3, "compare"),
                    (4, "map"),
                    (5, "summarise"),
                    (6, "raise cases"),
                    (7, "long run"),
                    (8, "learn"),
                ]
            ),
        ),
        migrations.CreateModel(
            name="FieldFit",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "village_id",
                        "variable",
                        "part",
                        "begins_at",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "variable",
                    models.CharField(
                        choices=[
                            ("air_temperature", "air temperature"),
                            ("wind_speed", "wind speed"),
                            ("rain_amount", "rain"),
                            ("dew_point", "dew point"),
                            ("sea_level_pressure", "pressure reduced to sea level"),
                        ],
                        max_length=32,
                    ),
                ),
                (
                    "part",
                    models.CharField(
                        choices=[
                            ("day", "while the sun is up"),
                            ("night", "while the sun is down"),
                            ("all", "at all hours"),
                        ],
                        max_length=5,
                    ),
                ),
                (
                    "begins_at",
                    models.BigIntegerField(
                        help_text="Beginning of the days it is for, learnt from those before (UTC epoch seconds)."
                    ),
                ),
                (
                    "fields",
                    models.JSONField(
                        help_text="[field, nugget] of each that explains the values; maps are their mean. The first is the likeliest."
                    ),
                ),
                (
                    "widening",
                    models.FloatField(help_text="Standard errors as a multiple of what the field says."),
                ),
                (
                    "steadiness",
                    models.FloatField(help_text="Empty: intervals do not follow the hour.", null=True),
                ),
                (
                    "root",
                    models.PositiveSmallIntegerField(help_text="Amounts are mapped as this root of them."),
                ),
                ("slope", models.FloatField(help_text="Of that root at a usual amount.")),
                ("method", models.CharField(help_text="The plainest that served best.", max_length=16)),
                (
                    "rmse",
                    models.JSONField(
                        help_text="Leaving one station out: by kriging, by inverse distance, by the village mean."
                    ),
                ),
                ("frames", models.PositiveIntegerField(help_text="From how many frames it was learnt.")),
                (
                    "village",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="fits",
                        to="stations.village",
                    ),
                ),
            ],
            options={
                "ordering": ["begins_at"],
            },
        ),
    ]
