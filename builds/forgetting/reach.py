"""What the shop holds of a customer, table by table, and what becomes of it on erasure.

One list for both: the file of a customer's own data is written by it, and erasure goes by it. A
test walks every table that leads to a customer, every column of free words and every link to a
file: what is new stands here before it passes.

- ``rows_go``: the rows are deleted.
- ``goes``: columns that are emptied at once.
- ``later``: columns of the books and of binding answers, emptied when the years are over.
- ``words``: words on the work, which stay; the customer's names are taken out of them.
- ``codes``: columns that hold no words of a person.
"""

from dataclasses import dataclass

ORDER, ITEM, HILT = "order__customer", "item__order__customer", "hilt__customer"
BUILD = "build__item__order__customer"


@dataclass(frozen=True)
class Held:
    """One table."""

    model: str
    path: str  # from a row to its customer
    rows_go: bool = False
    goes: tuple[str, ...] = ()
    later: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    codes: tuple[str, ...] = ()
    files: tuple[str, ...] = ()  # links to blobs
    shown: str = ""  # what it is called in the file of their own data; empty: not in it


# Those whose rows go stand in the order in which they can: what points before what is pointed to.
HELD = (
    # rows that go
    Held("Attachment", "message__customer", rows_go=True, codes=("name",), files=("blob",)),
    Held(
        "Message",
        "customer",
        rows_go=True,
        shown="messages",
        codes=("key", "about", "to", "subject", "body", "message_id", "last_error", "cause"),
    ),
    Held("EnquiryPhoto", "enquiry__customer", rows_go=True, files=("blob",)),
    Held("ReturnPhoto", f"announced__{BUILD}", rows_go=True, files=("blob",)),
    Held("Photo", BUILD, rows_go=True, codes=("caption",), files=("blob",), shown="photos"),
    Held("Photo", f"arrival__matches__{BUILD}", rows_go=True, codes=("caption",), files=("blob",)),
    Held("Chapter", f"film__{BUILD}", rows_go=True, codes=("title", "shot")),
    Held(
        "Film",
        BUILD,
        rows_go=True,
        codes=("link", "problem"),
        files=("blob", "smaller", "poster"),
        shown="films",
    ),
    Held("Booklet", BUILD, rows_go=True, codes=("data_sha256",), files=("blob",), shown="booklets"),
    Held("CardKept", BUILD, rows_go=True, codes=("name", "version"), files=("blob",)),
    Held(
        "SoundFile",
        "sound_set__customer",
        rows_go=True,
        codes=("path", "sort", "facts", "findings"),
        files=("blob",),
    ),
    # rows that stay
    Held(
        "SoundSet",
        "customer",
        goes=("licence_words",),
        words=("name",),
        codes=("name_folded", "problem"),
        files=("archive",),
        shown="sound sets",
    ),
    Held(
        "Enquiry",
        "customer",
        goes=("called", "contact", "wishes"),
        words=("why_lost",),
        shown="enquiries",
    ),
    Held("Account", "customer", goes=("tax_number",)),
    Held(
        "Order",
        "customer",
        goes=("price_note", "note", "reference", "ship_name", "ship_address", "ship_country"),
        codes=("number",),
        shown="orders",
    ),
    Held("Item", ORDER, words=("wanted",), shown="what was ordered"),
    Held(
        "Payment",
        ORDER,
        later=("reference",),
        words=("because",),
        codes=("currency",),
        shown="payments",
    ),
    Held(
        "Invoice",
        ORDER,
        later=("buyer", "reference"),
        words=("because",),
        codes=("number", "currency", "figures", "seller"),
        shown="invoices",
    ),
    Held(
        "Quote",
        ORDER,
        later=("text", "answer_words"),
        words=("because",),
        codes=("currency",),
        shown="quotes",
    ),
    Held("QuoteLine", "quote__order__customer", words=("words",)),
    Held("Answer", ITEM, later=("text",), shown="answers"),
    Held("Asking", ITEM, later=("words",), shown="what was asked"),
    Held("PackedGoods", ITEM),
    Held(
        "Hilt",
        "customer",
        goes=("note",),
        words=("name",),
        codes=("name_folded",),
        shown="hilts",
    ),
    Held(
        "Blade",
        "customer",
        goes=("note",),
        words=("name", "ended_because"),
        codes=("name_folded", "connector"),
        shown="blades",
    ),
    Held("Section", HILT, words=("name", "note"), codes=("blade_screw",), shown="sections"),
    Held("Joint", f"section__{HILT}", words=("note",)),
    Held("Hole", f"section__{HILT}", words=("note",)),
    Held("Measurement", HILT, codes=("as_typed",), shown="measures"),
    Held("Step", HILT, words=("words", "how")),
    Held("StepLink", f"step__{HILT}"),
    Held("StepDone", BUILD),
    Held("Build", "item__order__customer", goes=("note",), shown="builds"),
    Held(
        "BuildPart",
        BUILD,
        words=("ended_because",),
        codes=("spec", "serial", "serial_folded"),
        shown="parts",
    ),
    Held("Slot", BUILD, words=("name", "music"), codes=("colour",), shown="slots"),
    Held("Hold", BUILD, words=("words",)),
    Held("Move", BUILD, words=("reason",), shown="stages"),
    Held("Stretch", BUILD),
    Held("Packed", BUILD),
    Held("Stowed", BUILD),
    Held("PackTick", BUILD, codes=("code",)),
    Held("Match", BUILD),
    Held("Belonging", BUILD, words=("what", "kept_because"), shown="belongings"),
    Held("CellCheck", BUILD, words=("note",), shown="cell checks"),
    Held("ConditionNote", BUILD, words=("section", "words"), shown="condition notes"),
    Held("Plan", BUILD, codes=("fit", "power")),
    Held("WireRun", BUILD, codes=("starts", "ends", "colour")),
    Held("Decision", BUILD, words=("words",), codes=("code", "figures")),
    Held("Pass", BUILD, words=("reason",), codes=("code",)),
    Held("Gesture", BUILD, words=("wanted", "do", "see", "hear", "out"), shown="gestures"),
    Held("ShotTick", BUILD, codes=("code",)),
    Held("Warranty", BUILD, words=("words",), shown="warranties"),
    Held("Return", BUILD, goes=("words",), words=("because", "ended_because"), shown="returns"),
    Held("Run", BUILD),
    Held(
        "RunLine",
        f"run__{BUILD}",
        words=("because",),
        codes=("code", "name", "how", "caution", "unit", "only_after"),
    ),
    Held("Reading", f"line__run__{BUILD}", words=("note",), codes=("as_typed",)),
    Held("LineLetBy", f"line__run__{BUILD}", words=("reason",)),
    Held("Rework", BUILD, words=("cause",)),
    Held("Timer", BUILD),
    Held("Promise", BUILD, words=("reason",), shown="promises"),
    Held("Outcome", f"promise__{BUILD}"),
    Held("Alarm", f"promise__{BUILD}"),
    Held("LinePlace", BUILD),
    Held("Outlook", BUILD, codes=("moments", "waits_h", "drives", "remedy_with")),
    Held("CardListing", BUILD, codes=("entries",)),
    Held("CardCheck", f"listing__{BUILD}", codes=("missing", "changed", "extra")),
    Held("Brightness", BUILD),
    Held("TakenOut", BUILD),
    Held("Attempt", BUILD, words=("words",)),
    Held("DepthTried", BUILD, codes=("as_typed",)),
    # Reached the other way round, from what lay in them.
    Held(
        "Arrival",
        f"matches__{BUILD}",
        goes=("sender", "note", "tracking"),
        words=("went_words",),
        codes=("carrier",),
        shown="parcels that came",
    ),
    Held(
        "Parcel",
        f"packed__{BUILD}",
        goes=("sent_to", "tracking"),
        words=("customs_words",),
        codes=("origin", "tariff_code", "carrier", "classed"),
        shown="parcels that left",
    ),
)
# The customer's own row has a rule of its own: it keeps its number for the books.
OWN = Held(
    "Customer", "pk", shown="you",
    goes=("email", "phone", "address", "country", "language", "note", "email_folded"),
    codes=("called", "full_name", "called_folded", "name_folded", "family_folded"),
)  # fmt: skip

# Tables that rows of a customer point to and that are nobody's, each with its reason.
NOBODYS = {
    "User": "staff",
    "Blob": "bytes; they go with the last link to them",
    "PrivateLink": "an id; it is closed by name of what it opens",
    "Service": "a carrier's", "Part": "the shop's", "Kit": "the shop's",
    "PurchaseLine": "the shop's",
    "Reservation": "names a build by its number", "Tray": "the shop's", "Place": "the shop's",
    "View": "the shop's", "Instrument": "the shop's", "BoardGesture": "a board's plan",
    "Reckoning": "a run of the forecast over the whole shop",
}  # fmt: skip
# Tables that name things by a key in words, "build:142", and what erasure does about each.
BY_KEY = {
    "Message": "those to the staff about theirs go along",
    "Entry": "holds no names; those that slipped in are taken out",
    "PrivateLink": "closed",
    "Upload": "the name of the file goes, and its bytes",
    "Made": "what was there before an import goes",
    "Claim": "names a build by its number", "Reservation": "the same", "StockRow": "the same",
}  # fmt: skip
# Links to files that are no customer's.
OTHER_FILES = {
    ("Import", "blob"): "goes when the import has ended",
    ("Rendition", "blob"): "goes with its blob",
    ("Upload", "blob"): "let go by key, see above",
}
