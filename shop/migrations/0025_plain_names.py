"""Names of customers without case and accents, to be found and listed by."""

from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps

from shop.web.prefix import plain


def fold(apps: StateApps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    """Write the three columns anew where they would differ."""
    using = schema_editor.connection.alias  # a back-up is put into a database of its own
    for person in apps.get_model("shop", "Customer").objects.using(using).iterator():
        name = plain(person.full_name)
        folded = (plain(person.called), name, name.split(" ")[-1])
        if folded != (person.called_folded, person.name_folded, person.family_folded):
            person.called_folded, person.name_folded, person.family_folded = folded
            person.save(
                using=using, update_fields=["called_folded", "name_folded", "family_folded"]
            )


class Migration(migrations.Migration):
    dependencies = [("shop", "0024_upload_mark")]

    operations = [migrations.RunPython(fold, migrations.RunPython.noop)]
