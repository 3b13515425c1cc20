"""Makes the database refuse to rewrite which photos came with an enquiry."""

from django.db import migrations

from shop.append_only import AppendOnly


class Migration(migrations.Migration):
    dependencies = [("shop", "0014_enquiry_photo")]
    operations = [AppendOnly("shop_enquiryphoto", ["enquiry_id", "blob_id", "at"])]
