"""The words of history: verb code and parameters → one sentence, made on reading.

History knows the codes of the rooms above it and none of their models: these are words alone.
The name of who did it stands beside the sentence, not in it. A test holds every verb and every
code of the tree against these tables.
"""

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from shop.web.dated import dated
from shop.web.figures import pointed

Words = str | Promise

SENTENCES: dict[str, Words] = {
    # orders and customers
    "order_placed": _("Order %(number)s placed"),
    "order_changed": _("Order changed"),
    "enquiry_noted": _("Enquiry noted"),
    "enquiry_changed": _("Enquiry changed"),
    "enquiry_photos": _("Photos added: %(count)s"),
    "enquiry_answered": _("Enquiry answered"),
    "enquiry_reopened": _("Enquiry open again"),
    "enquiry_lost": _("Enquiry came to nothing: %(why)s"),
    "enquiry_ordered": _("Enquiry became order %(number)s"),
    "quote_begun": _("Quote begun, revision %(revision)s"),
    "quote_written": _("Quote written, revision %(revision)s"),
    "quote_sent": _("Quote sent, revision %(revision)s"),
    "change_sent": _("Change order sent, revision %(revision)s"),
    "quote_accepted": _("Quote accepted, revision %(revision)s (%(how)s)"),
    "quote_declined": _("Quote declined, revision %(revision)s (%(how)s)"),
    "quote_withdrawn": _("Quote withdrawn, revision %(revision)s"),
    "consent_asked": _("Asked on the page: %(kind)s"),
    "consent_taken_back": _("Asked no more: %(kind)s"),
    "item_added": _("Put on the order: %(kind)s"),
    "goods_tied": _("Goods: how they stand in stores noted"),
    "payment_noted": _("In the books: %(kind)s"),
    "account_opened": _("Account opened"),
    "account_changed": _("Terms of the account changed"),
    "account_closed": _("Account closed"),
    "paper_issued": _("Issued: %(paper)s %(number)s"),
    "payment_taken_back": _("Taken back in the books: %(kind)s"),
    "answer_recorded": _("Answer kept, %(yes)s: %(kind)s (%(how)s)"),
    "parts_taken_over": _("Parts and wires taken over from build %(source)s: %(count)s"),
    "started_from": _("Started from build %(source)s"),
    "warranty_promised": _("Warranty promised until %(day)s"),
    "return_announced": _("Announced back: %(number)s"),
    "return_decided": _("Decided: %(covered)s, carriage %(pays)s"),
    "return_became": _("Became build %(build)s"),
    "came_from_return": _("Comes of return %(number)s of build %(build)s"),
    "return_ended": _("Came to nothing: %(why)s"),
    "return_reopened": _("Open again"),
    "kind_changed": _("Kind of job now: %(kind)s"),
    "customer_added": _("Customer written down"),
    "customer_changed": _("Customer's details changed"),
    "customer_erased": _("Erased, as they asked"),
    "customer_unnamed": _("Names taken off papers and answers: the years are over"),
    "names_years_set": _("Papers name the erased for years: %(years)s"),
    "own_data_given": _("Their own data handed out as a file"),
    "customer_removed": _("Customer taken off the books again"),
    "sheet_begun": _("A sheet of %(kind)s to bring in"),
    "sheet_replaced": _("Another file of it"),
    "sheet_kept": _("Brought in: %(rows)s rows"),
    "sheet_undone": _("Taken back: %(rows)s rows"),
    "sheet_dropped": _("Given up"),
    "hilt_added": _("Hilt written down"),
    "section_added": _("Section added: %(section)s"),
    "section_changed": _("Section changed: %(section)s"),
    "section_moved": _("Section in another place: %(section)s, now %(place)s"),
    "section_ended": _("Section off the hilt: %(section)s"),
    "joint_noted": _("Joint behind %(section)s: %(joint)s"),
    "hole_added": _("Hole in %(section)s: %(hole)s"),
    "hole_ended": _("No such hole in %(section)s after all: %(hole)s"),
    "step_added": _("Step of taking apart: %(step)s"),
    "step_changed": _("Step of taking apart changed: %(step)s"),
    "step_ended": _("Step of taking apart gone: %(step)s"),
    "measured": _("%(section)s, %(thing)s: %(typed)s, %(basis)s"),
    "shape_copied": _("Begun from %(hilt)s; every value believed until measured"),
    # a build on its way
    "booked": _("Booked: %(kind)s"),
    "moved": _("Moved from %(source)s to %(to)s"),
    "undone": _("Taken back: from %(source)s to %(to)s"),
    "started": _("Started: %(stage)s"),
    "worked": _("Worked %(minutes)s min: %(stage)s, %(spent_on)s"),
    "work_put_right": _("Time worked put right, %(minutes)s min: %(stage)s, %(spent_on)s"),
    "put": _("Put elsewhere"),
    "leaves_by_changed": _("How it leaves, agreed anew: %(way)s"),
    "held": _("On hold: %(reason)s (%(turn)s)"),
    "hold_ended": _("Hold ended: %(reason)s"),
    "asked_again": _("Asked again: %(reason)s"),
    "promised": _("Promised for %(day)s"),
    "passed": _("Let by at %(stage)s: %(code)s"),
    "customs_noted": _("What the customs are told was written down"),
    "booklet_made": _("Booklet made, in both sizes of type"),
    "booklet_published": _("Booklet published"),
    "booklet_taken_back": _("Booklet taken back"),
    "packed": _("In a parcel for %(day)s"),
    "unpacked": _("Out of the parcel again"),
    "cell_stowed": _("Cell on the way: %(where)s"),
    "carrier_rule_kept": _("The carrier’s own rule kept: %(code)s"),
    "carrier_rule_withdrawn": _("The carrier’s own rule holds no more: %(code)s"),
    "goods_packed": _("Put into the parcel: %(what)s"),
    "goods_unpacked": _("Out of the parcel again: %(what)s"),
    "box_chosen": _("Box chosen: %(box)s"),
    "box_let_go": _("No box of the stores"),
    "parcel_measured": _("Size and weight noted"),
    "said_unused": _("Nothing in it was used or repaired before"),
    "said_used": _("Something in it was used or repaired before"),
    "service_chosen": _("How it travels noted"),
    "value_declared": _("Value and who bears a loss noted"),
    "service_added": _("Service written down: %(service)s"),
    "service_changed": _("Service changed"),
    "service_retired": _("Service offered no more: %(service)s"),
    "service_back": _("Service offered again: %(service)s"),
    "service_moved": _("Service moved up: %(service)s"),
    "tracking_noted": _("Carrier and tracking number noted"),
    "pack_ticked": _("Packing list, ticked: %(line)s"),
    "pack_unticked": _("Packing list, not ticked any more: %(line)s"),
    # what came
    "arrived": _("A parcel arrived: %(box)s"),
    "matched": _("Matched to a parcel that came"),
    "unmatched": _("Not in that parcel after all"),
    "parcel_let_go": _("No build's parcel, %(went)s: %(words)s"),
    "parcel_taken_up": _("Nobody has placed it yet, after all"),
    "belonging_noted": _("In the box: %(quantity)s × %(what)s"),
    "belonging_claimed": _("Belongs to this hilt: %(what)s"),
    "belonging_returned": _("Back in the box: %(what)s"),
    "belonging_less": _("One less in the box after all: %(what)s"),
    "belonging_open": _("Not in the box yet after all: %(what)s"),
    "belonging_kept": _("Not returned: %(what)s"),
    "nothing_else": _("Nothing else was in the box"),
    "cell_checked": _("Cell checked: %(result)s"),
    "condition_noted": _("Condition of %(section)s: %(grade)s"),
    "photo_added": _("Photo added"),
    "photo_dropped": _("Photo taken off"),
    "photo_shared": _("Photo shown to the customer"),
    "photo_unshared": _("Photo no longer shown to the customer"),
    "photo_of_one": _("A photo of the parcel shows one hilt alone"),
    "photo_of_all": _("A photo of the parcel shows all its hilts"),
    # taking apart
    "taken_out": _("Out: %(inside)s"),
    "put_in": _("In again: %(inside)s"),
    "joint_tried": _("Tried on the joint behind %(section)s: %(means)s, %(minutes)s min, %(came)s"),
    "step_off": _("Off: %(step)s"),
    "step_on": _("On again: %(step)s"),
    "depth_tried": _("Blade's depth tried with a stub tube: %(typed)s"),
    # parts and wiring of a build
    "part_planned": _("On the parts list: %(quantity)s × %(part)s"),
    "part_placed": _("Place in the hilt noted: %(part)s"),
    "part_swapped": _("Swapped on the parts list: %(part)s for %(other)s"),
    "part_reserved": _("Reserved: %(part)s"),
    "part_fitted": _("Fitted: %(part)s"),
    "part_serial": _("Serial number of %(part)s noted"),
    "part_off": _("Off the parts list: %(part)s"),
    "part_released": _("No longer reserved: %(part)s"),
    "chassis_chosen": _("Chassis chosen: %(chassis)s"),
    "kit_used": _("Parts of the kit %(kit)s put on the list"),
    "kit_added": _("Kit made: %(kit)s"),
    "kit_changed": _("Kit's name or note changed: %(kit)s"),
    "kit_filled": _("In the kit: %(amount)s × %(part)s"),
    "kit_timed": _("Kit takes %(minutes)s minutes"),
    "kit_retired": _("Kit offered no more: %(kit)s"),
    "kit_back": _("Kit offered again: %(kit)s"),
    "wire_listed": _("On the wiring list: %(wire)s"),
    "wire_changed": _("Wire changed: %(wire)s"),
    "wire_cut": _("Wire cut: %(wire)s"),
    "wire_uncut": _("Wire not cut after all: %(wire)s"),
    "wire_off": _("Off the wiring list: %(wire)s"),
    # sound sets and cards
    "sound_set_came": _("Sound set kept: %(name)s, files: %(count)s"),
    "sound_set_changed": _("Sound set changed: %(name)s (%(licence)s)"),
    "sound_set_ended": _("Sound set offered no more: %(name)s"),
    "sound_set_looked": _("Sound set looked at: %(name)s"),
    "sound_set_copied": _("Copy asked for: %(name)s"),
    "sound_set_again": _("Sound set is looked at anew"),
    "sound_files_sorted": _("Sort of sound files changed: %(count)s"),
    "card_listed": _("List of the card made, files: %(count)s"),
    "card_checked": _(
        "Card held against its list: same %(same)s, missing %(missing)s, "
        "changed %(changed)s, extra %(extra)s"
    ),
    "card_kept": _("Kept of the card, %(kind)s: %(name)s"),
    "card_kept_ended": _("Kept of the card no more: %(name)s"),
    "card_wished": _(
        "What it wants of its card: %(rate)s Hz, %(bits)s bit, channels: %(channels)s"
    ),
    # film
    "shot_ticked": _("Filmed: %(shot)s"),
    "shot_taken_back": _("Not filmed after all: %(shot)s"),
    "film_added": _("Film put here"),
    "film_linked": _("Link to a film put here"),
    "film_ended": _("Film taken off"),
    "film_published": _("Film published for the customer"),
    "film_taken_back": _("Film hidden from the customer again"),
    "film_poster": _("Picture for the film set"),
    "film_looked": _("Film looked at by the worker"),
    "chapter_added": _("Chapter set at %(begins)s: %(title)s"),
    "chapter_changed": _("Chapter changed, now %(begins)s: %(title)s"),
    "chapter_removed": _("Chapter taken away: %(begins)s %(title)s"),
    # slots and power
    "slot_verified": _("Slot %(place)s seen and heard on the unit: %(name)s"),
    "slot_added": _("Slot %(place)s added: %(name)s"),
    "slot_changed": _("Slot %(place)s changed: %(name)s"),
    "slot_moved": _("Slot moved up to %(place)s: %(name)s"),
    "slot_ended": _("Slot %(place)s taken off: %(name)s"),
    "blade_added": _("Blade written down: %(name)s"),
    "blade_changed": _("Blade changed: %(name)s"),
    "blade_counted": _("Pixels counted: %(pixels)s"),
    "blade_tried": _("Tried in %(hilt)s"),
    "blade_ended": _("Gone: %(why)s"),
    "blade_back": _("Blade there after all"),
    "blade_tied": _("Its blade: %(name)s"),
    "blade_untied": _("No blade of its own any more"),
    "gestures_taken_over": _("Gestures taken over from the board’s plan: %(count)s"),
    "gestures_copied": _("Gestures taken over from build %(source)s: %(count)s"),
    "gesture_added": _("Gesture added: %(wanted)s"),
    "gesture_changed": _("Gesture changed, to be tried: %(wanted)s"),
    "gesture_tried": _("Gesture tried on the hilt: %(wanted)s"),
    "gesture_untried": _("Tick of a gesture taken back: %(wanted)s"),
    "gesture_moved": _("Gesture moved up: %(wanted)s"),
    "gesture_ended": _("Gesture dropped: %(wanted)s"),
    "gesture_back": _("Gesture brought back: %(wanted)s"),
    "plan_line_added": _("Line added to the plan of gestures: %(wanted)s"),
    "plan_line_changed": _("Line of the plan of gestures changed: %(wanted)s"),
    "plan_line_moved": _("Line of the plan of gestures moved up: %(wanted)s"),
    "plan_line_retired": _("Line of the plan of gestures offered no more: %(wanted)s"),
    "plan_line_back": _("Line of the plan of gestures offered again: %(wanted)s"),
    "slots_copied": _("Slots taken over from %(source)s: %(count)s"),
    "brightness_capped": _("Brightness capped at %(percent)s %%"),
    "decided": _("May be so, %(code)s: %(why)s"),
    # bench test
    "proof_sheet_filled": _("Bench test sheet begun from the usual one: %(count)s tests"),
    "proof_line_added": _("On the bench test sheet: %(test)s"),
    "proof_line_changed": _("Bench test changed: %(test)s"),
    "proof_line_retired": _("Off the bench test sheet: %(test)s"),
    "proof_line_back": _("On the bench test sheet again: %(test)s"),
    "proof_line_moved": _("Bench test in another turn: %(test)s"),
    "instrument_added": _("Instrument named: %(name)s"),
    "instrument_checked": _("Instrument last checked on %(day)s: %(name)s"),
    "instrument_retired": _("Instrument offered no more: %(name)s"),
    "proof_begun": _("Bench test begun, run %(run)s"),
    "proof_read": _("Bench test, run %(run)s: %(count)s read, %(fails)s failed"),
    "proof_reworked": _("Put right: %(cause)s, caused in %(caused_in)s, %(minutes)s min"),
    "proof_let_by": _("Bench test, let by: %(test)s"),
    "timer_begun": _("Started: %(test)s"),
    "timer_stopped": _("Stopped before its time: %(test)s"),
    # messages and links
    "message_queued": _("Message written: %(occasion)s"),
    "message_logged": _("Said elsewhere"),
    "message_received": _("The customer wrote"),
    "message_withdrawn": _("Message withdrawn"),
    "question_settled": _("Needs no answer"),
    "message_in_doubt": _("The mail server broke off: the message may have come twice"),
    "message_tried_again": _("Message sent again"),
    "link_renewed": _("A new private link made; the old one is dead"),
    "link_revoked": _("Private link revoked"),
    "wording_saved": _("Wording changed: %(occasion)s"),
    "wording_dropped": _("Wording back to the first one: %(occasion)s"),
    "mail_server_set": _("Mail server set"),
    "backups_changed": _("Back-ups: hour and folders changed"),
    "backups_locked": _("Back-ups locked by a passphrase"),
    "backups_unlocked": _("Back-ups left open"),
    "backup_asked": _("A back-up asked for"),
    "export_asked": _("Everything asked for, to read without this tool"),
    # stores
    "part_added": _("Written down as %(label)s"),
    "typical_added": _("%(count)s typical parts written down"),
    "part_changed": _("Details changed"),
    "part_retired": _("Offered no more"),
    "part_back": _("Offered again"),
    "rating_stated": _("Stated by %(said_by)s: %(figure)s %(value)s"),
    "rating_withdrawn": _("Used no more: %(figure)s %(value)s, stated by %(said_by)s"),
    # buying
    "supplier_added": _("Supplier written down"),
    "supplier_changed": _("Supplier's details changed"),
    "supplier_retired": _("Supplier offered no more"),
    "supplier_back": _("Supplier in use again"),
    "purchase_drafted": _("Drafted"),
    "purchase_line_put": _("Put on it: %(amount)s of %(part)s"),
    "purchase_lines_saved": _("Lines changed: %(parts)s"),
    "purchase_line_dropped": _("Given up: %(part)s"),
    "purchase_ordered": _("Ordered, expected %(day)s"),
    "purchase_changed": _("Order's details changed"),
    "purchase_closed": _("Closed"),
    "purchase_cancelled": _("Cancelled"),
    "delivery_logged": _("Came: %(what)s"),
    "delivery_taken_back": _("Taken back, logged wrongly: %(what)s"),
    "claim_opened": _("Claim opened: %(quantity)s of %(part)s"),
    "claim_sent": _("Sent back to the supplier"),
    "claim_replaced": _("Replaced by the supplier"),
    "claim_credited": _("Money back from the supplier"),
    "claim_refused": _("Refused by the supplier"),
    # the shop
    "set_up": _("Shop set up"),
    "house_changed": _("The shop's settings changed"),
    "staff_added": _("Joined as %(role)s"),
    "staff_changed": _("Details or role changed"),
    "password_set": _("New password set"),
    "language_chosen": _("Another language chosen"),
    "pin_set": _("New PIN set"),
    "pin_dropped": _("PIN taken away"),
    "app_code_on": _("Second step at the sign-in: code of an app"),
    "app_code_off": _("No code of an app at the sign-in any more"),
    "recovery_codes_made": _("New codes on paper made"),
    "recovery_code_used": _("Signed in with a code on paper"),
    "passkey_added": _("Passkey added"),
    "passkey_removed": _("Passkey removed"),
    "second_step_taken_off": _("Second step taken off, because it was lost"),
    "session_ended": _("Signed out on one device"),
    "sessions_ended": _("Signed out on other devices: %(count)s"),
    "person_changed": _("Took over on a tablet, by PIN"),
    "week_changed": _("Working hours and dispatch days changed"),
    "planned_share_changed": _("Share of the day that is planned: %(percent)s %%"),
    "own_hours_changed": _("Working hours changed"),
    "day_off_added": _("Off from %(first)s to %(last)s"),
    "day_off_removed": _("Not off from %(first)s to %(last)s after all"),
    "extra_day_added": _("Works on %(day)s as well"),
    "extra_day_removed": _("Not at work on %(day)s after all"),
    "date_rules_changed": _("Rules of the dates changed"),
    "line_by_days": _("The line stands by the days due again"),
    "line_moved": _("Place in the line: %(place)s"),
    "feed_made": _("Calendar feed made"),
    "feed_revoked": _("Calendar feed revoked"),
    "closure_added": _("Closed from %(first)s to %(last)s"),
    "closure_removed": _("Not closed from %(first)s to %(last)s after all"),
    "trays_added": _("Trays %(first)s to %(last)s added"),
    "tray_retired": _("Tray given out no more"),
    "tray_back": _("Tray in use again"),
    "place_added": _("Place added"),
    "place_renamed": _("Place renamed"),
    "place_retired": _("Place offered no more"),
    "place_back": _("Place in use again"),
    "view_added": _("View to photograph added"),
    "view_changed": _("View to photograph changed"),
    "view_moved": _("View asked for in another turn"),
    "view_retired": _("View asked for no more"),
    "view_back": _("View asked for again"),
    "once": _("Done once"),
}

# What is said besides, where the parameter is there.
BESIDES: dict[str, dict[str, Words]] = {
    "moved": {"caused_in": _("caused in %(caused_in)s"), "reason": "%(reason)s"},
    "undone": {"reason": "%(reason)s"},
    "put": {"tray": _("tray %(tray)s"), "place": "%(place)s"},
    "work_put_right": {"was": _("it said %(was)s min")},
    "asked_again": {"next": _("next time %(next)s")},
    "purchase_changed": {"day": _("expected %(day)s")},
    "held": {"before": _("stops before %(before)s")},
    "passed": {"reason": "%(reason)s"},
    "proof_let_by": {"reason": "%(reason)s"},
    "return_decided": {"because": "%(because)s"},
    "decided": {"kit": _("for every “%(kit)s”")},
    "part_placed": {"section": "%(section)s"},
    "part_fitted": {"serial": _("serial number %(serial)s")},
    "part_serial": {"serial": "%(serial)s"},
    "part_off": {"because": "%(because)s"},
    "message_logged": {"how": "%(how)s", "occasion": "%(occasion)s"},
    "cell_stowed": {"charge": _("at %(charge)s %%")},
    "cell_checked": {"millivolts": "%(millivolts)s"},
    "joint_noted": {"stuck": "%(stuck)s"},
}

STATES: dict[str, Words] = {
    "booked": _("booked"),
    "intake": _("intake"),
    "teardown": _("teardown"),
    "install": _("install"),
    "test": _("test"),
    "dispatch": _("dispatch"),
    "sent": _("sent"),
    "collected": _("collected"),
    "returned": _("returned unfinished"),
    "withdrawn": _("withdrawn"),
    "abandoned": _("abandoned"),
}
KINDS: dict[str, Words] = {
    "full": _("full install"),
    "upgrade": _("upgrade or board swap"),
    "repair": _("repair"),
    "warranty": _("warranty"),
    "blade": _("blade only"),
}
LEAVES: dict[str, Words] = {"post": _("by post"), "collection": _("collected in person")}
HOLD_REASONS: dict[str, Words] = {
    "parts": _("parts ordered"),
    "part_wrong": _("part wrong or dead"),
    "answer": _("an answer"),
    "item": _("customer's item not here"),
    "sounds": _("customer's sound files"),
    "deposit": _("deposit"),
    "balance": _("balance"),
    "shop": _("the shop itself"),
    "stuck": _("stuck joint, consent to heat"),
    "carrier": _("the carrier"),
    "warranty": _("a warranty question"),
    "other": _("something else"),
}
SPENT_ON: dict[str, Words] = {
    "work": _("the work itself"),
    "rework": _("rework"),
    "stuck": _("a stuck joint"),
}
TURNS: dict[str, Words] = {
    "shop": _("our turn"),
    "customer": _("customer's turn"),
    "supplier": _("supplier's turn"),
    "carrier": _("carrier's turn"),
}
CONDITIONS: dict[str, Words] = {
    "arrived": _("arrival"),
    "agreed": _("the yes to the job"),
    "reconfirmed": _("asking again"),
    "views": _("views to take"),
    "belongings": _("noting belongings"),
    "condition": _("noting the condition"),
    "parts": _("parts to fit"),
    "accounted": _("accounting for belongings"),
    "packed": _("the packing list"),
    "deposit": _("the deposit"),
    "settled": _("settling the money"),
    "customs": _("what the customs are told"),
    "handed": _("film or booklet"),
    "fit": _("what fits"),
    "slots": _("describing the slots"),
    "blade-tried": _("trying the blade in a hilt"),
    "slots-verified": _("seeing and hearing every slot on the hilt"),
    "gestures": _("gestures, described and tried"),
    "card": _("the card held against its list"),
    "power": _("what the cell carries"),
    "decisions": _("what needs a decision"),
    "bores": _("measuring bores"),
    "joints": _("noting joints"),
    "steps": _("writing the take-apart steps"),
    "chassis": _("choosing the chassis"),
    "depth": _("trying the blade’s depth"),
}
DECISIONS: dict[str, Words] = {
    "full-white": _("full white on paper"),
    "low-voltage": _("a low voltage"),
    "idle-days": _("days at rest"),
    "speaker-over": _("power to the speaker"),
    "led-unlit": _("an LED that the cell cannot light"),
    "bore-may-be-too-small": _("a bore that may be too small"),
    "wall-part-meets": _("a part in the wall that meets another"),
    "likely-too-long": _("a row of parts that is likely too long"),
}
PACKING: dict[str, Words] = {
    "blade-out": _("blade out"),
    "switched-off": _("switched off or isolated"),
    "cell-out": _("cell out"),
    "caps": _("caps on"),
    "goods": _("goods in the box"),
    "padded": _("padded"),
    "slip": _("packing slip in the box"),
}
BOXES: dict[str, Words] = {
    "sound": _("box sound"),
    "dented": _("dented"),
    "torn": _("torn or open"),
    "wet": _("wet"),
}
WENT: dict[str, Words] = {
    "back": _("sent back to the sender"),
    "on": _("passed on to whom it belongs"),
    "disposed": _("disposed of"),
    "kept": _("kept by the shop, for no build"),
}
CELLS: dict[str, Words] = {
    "none": _("no cell inside"),
    "good": _("cell out, wrap whole"),
    "rewrap": _("cell out, needs a new wrap"),
    "aside": _("cell damaged, set aside"),
}
STOWAGES: dict[str, Words] = {
    "installed": _("in the hilt"),
    "packed-with": _("beside the hilt, in the same parcel"),
    "loose": _("without the hilt that it runs"),
    "left-out": _("leaves without a cell"),
}
CARRIERS_RULES: dict[str, Words] = {
    "too-large": _("cells or packs over the usual limit of energy"),
    "loose-heavy": _("loose cells in a heavier package"),
    "loose-by-air": _("loose cells by air"),
    "air-heavy": _("more than 5 kg of cells in a package by air"),
    "air-charged": _("cells beside the hilt, charged above 30 %, by air"),
    "air-too-many": _("more spare cells beside the hilt, by air"),
    "too-many": _("more cells or packs in a package"),
    "surface-only": _("loose cells, by air post"),
    "used-surface-only": _("used or repaired equipment, by air post"),
    "used-never-abroad": _("used or repaired equipment, by post abroad"),
    "installed-only": _("cells that are not in the hilt, by post abroad"),
    "packages-abroad": _("more than two packages to one receiver, by post abroad"),
}
GRADES: dict[str, Words] = {
    "sound": _("sound"),
    "worn": _("worn"),
    "marked": _("marked"),
    "damaged": _("damaged"),
}
JOINTS: dict[str, Words] = {
    "thread": _("thread"),
    "set-screw": _("set screw"),
    "press": _("press fit"),
    "glued": _("glued"),
}
HOLES: dict[str, Words] = {
    "switch": _("switch"),
    "port": _("charge port"),
    "light": _("light"),
    "screw": _("screw"),
}
BASES: dict[str, Words] = {
    "told": _("told"),
    "believed": _("believed, from a like hilt"),
    "measured": _("measured"),
}
THINGS: dict[str, Words] = {
    "length": _("length"),
    "bore": _("bore"),
    "outer": _("outside diameter"),
    "socket-bore": _("socket's bore"),
    "socket-depth": _("socket's depth"),
    "pitch": _("thread's pitch"),
    "clock": _("clock position when tight"),
    "diameter": _("diameter"),
    "from-front": _("from the section's front edge"),
    "around": _("where around"),
}
INSIDES: dict[str, Words] = {"cell": _("cell"), "electronics": _("electronics")}
MEANS: dict[str, Words] = {
    "hands": _("by hand, strap or jaws"),
    "heat": _("heat"),
    "solvent": _("solvent"),
    "drill": _("drilled or turned"),
    "other": _("something else"),
}
CAME: dict[str, Words] = {
    "loose": _("came loose"),
    "holds": _("holds still"),
    "stopped": _("stopped: the limit is reached"),
}
ITEMS: dict[str, Words] = {"job": _("job"), "goods": _("goods")}
PAID: dict[str, Words] = {
    "deposit": _("deposit"),
    "payment": _("payment"),
    "refund": _("refund"),
    "written-off": _("written off"),
}
PAPERS: dict[str, Words] = {
    "invoice": _("invoice"),
    "credit": _("credit note"),
    "receipt": _("receipt"),
}
ANSWERS: dict[str, Words] = {
    "agreed": _("the job and its price"),
    "reconfirmed": _("still wanted, same options"),
    "heat": _("consent to heat"),
    "drilling": _("consent to drilling"),
    "finish": _("consent to loss of finish"),
}
WAYS: dict[str, Words] = {
    "page": _("on the customer's page"),
    "mail": _("by mail"),
    "telephone": _("by telephone"),
    "chat": _("in a chat"),
    "person": _("in person"),
}
OCCASIONS: dict[str, Words] = {
    "posting": _("post it to us"),
    "arrived": _("it arrived safely"),
    "stage": _("a stage was reached"),
    "hold": _("on hold, your answer"),
    "quote": _("a quote to answer"),
    "change": _("a change order to answer"),
    "consent": _("a consent to give"),
    "came": _("the parts came"),
    "ships_on": _("ships on"),
    "sent": _("sent, with tracking"),
    "film": _("the film is there"),
    "late": _("later than told"),
    "ship_by": _("ship-by reminder to the shop"),
    "chase": _("a hold to ask about again"),
    "digest": _("the morning's list to the shop"),
    "test": _("test mail"),
    "password": _("a new password"),
    "paper": _("an invoice, a credit note, a receipt"),
    "return_noted": _("a return is noted"),
    "return_decided": _("a return is decided"),
    "free": _("in your own words"),
}
COVERED: dict[str, Words] = {
    "covered": _("covered"),
    "not-covered": _("not covered"),
    "goodwill": _("goodwill"),
}
PAYS: dict[str, Words] = {
    "shop": _("the shop"),
    "customer": _("the customer"),
    "both": _("each one way"),
}
CHASSIS: dict[str, Words] = {
    "removable": _("removable"),
    "fixed": _("fixed"),
    "none": _("none"),
}
# The figures of parts that sources may state differently.
FIGURES: dict[str, Words] = {
    "capacity_mah": _("capacity"),
    "max_current_ma": _("continuous current at most"),
    "output_ma": _("output current at most"),
    "power_mw": _("power at most"),
    "current_ma": _("current at most"),
    "hold_ma": _("current it lets by for good"),
    "charge_ma": _("charging current"),
}
CARD_KEPT: dict[str, Words] = {
    "image": _("image of the finished card"),
    "settings": _("the board’s settings file"),
    "firmware": _("firmware"),
    "other": _("something else"),
}
LICENCES: dict[str, Words] = {
    "one-buyer": _("one customer’s own, for that customer alone"),
    "anyone": _("the shop may fit it for anyone"),
    "own": _("the shop’s own work"),
}
ROLES: dict[str, Words] = {"owner": _("owner"), "bench": _("bench")}

# Verb and parameter → the words of its codes; without a verb, for every verb.
CODES: dict[tuple[str, str], dict[str, Words]] = {
    ("", "source"): STATES,
    ("", "to"): STATES,
    ("", "stage"): STATES,
    ("", "spent_on"): SPENT_ON,
    ("", "caused_in"): STATES,
    ("", "before"): STATES,
    ("", "turn"): TURNS,
    ("", "box"): BOXES,
    ("", "went"): WENT,
    ("", "result"): CELLS,
    ("", "grade"): GRADES,
    ("", "how"): WAYS,
    ("", "occasion"): OCCASIONS,
    ("", "role"): ROLES,
    ("chassis_chosen", "chassis"): CHASSIS,
    ("", "figure"): FIGURES,
    ("", "joint"): JOINTS,
    ("", "hole"): HOLES,
    ("", "basis"): BASES,
    ("", "thing"): THINGS,
    ("", "stuck"): {"True": _("stuck"), "False": ""},
    ("", "inside"): INSIDES,
    ("", "means"): MEANS,
    ("", "came"): CAME,
    ("booked", "kind"): KINDS,
    ("kind_changed", "kind"): KINDS,
    ("return_decided", "covered"): COVERED,
    ("return_decided", "pays"): PAYS,
    ("item_added", "kind"): ITEMS,
    ("", "paper"): PAPERS,
    ("payment_noted", "kind"): PAID,
    ("payment_taken_back", "kind"): PAID,
    ("answer_recorded", "kind"): ANSWERS,
    ("consent_asked", "kind"): ANSWERS,
    ("consent_taken_back", "kind"): ANSWERS,
    ("answer_recorded", "yes"): {"True": _("yes"), "False": _("no")},
    ("leaves_by_changed", "way"): LEAVES,
    ("held", "reason"): HOLD_REASONS,
    ("hold_ended", "reason"): HOLD_REASONS,
    ("asked_again", "reason"): HOLD_REASONS,
    ("cell_stowed", "where"): STOWAGES,
    ("carrier_rule_kept", "code"): CARRIERS_RULES,
    ("carrier_rule_withdrawn", "code"): CARRIERS_RULES,
    ("passed", "code"): CONDITIONS,
    ("decided", "code"): DECISIONS,
    ("sound_set_changed", "licence"): LICENCES,
    ("card_kept", "kind"): CARD_KEPT,
    ("", "line"): PACKING,
}
DAYS = frozenset(
    {
        ("promised", "day"),
        ("extra_day_added", "day"),
        ("extra_day_removed", "day"),
        ("warranty_promised", "day"),
        ("packed", "day"),
        ("asked_again", "next"),
        ("purchase_ordered", "day"),
        ("purchase_changed", "day"),
    }
) | frozenset(
    (verb, end)
    for verb in ("closure_added", "closure_removed", "day_off_added", "day_off_removed")
    for end in ("first", "last")
)


def sentence(verb: str, parameters: Mapping[str, Any]) -> str:
    """A deed in words, in the language of the reader.

    A verb or a code without words (of a later version, say) is shown as it is, never lost.
    """
    if verb not in SENTENCES:
        return verb
    worded = _Worded({name: _value(verb, name, value) for name, value in parameters.items()})
    besides = [str(words) % worded for name, words in BESIDES.get(verb, {}).items() if worded[name]]
    said = str(SENTENCES[verb]) % worded
    return f"{said}: {', '.join(besides)}" if besides else said


class _Worded(dict[str, str]):
    """Parameters in words; one that an older entry lacks is empty."""

    def __missing__(self, name: str) -> str:
        return ""


def _value(verb: str, name: str, value: Any) -> str:
    if value is None or value == "":
        return ""
    if (verb, name) in DAYS:
        return dated(date.fromisoformat(value), "short full")
    if name == "millivolts":
        # As the cell panel of a sheet shows it.
        return pointed(f"{int(value) / 1000:.2f}\u202fV")
    codes = CODES.get((verb, name)) or CODES.get(("", name), {})
    return str(codes.get(str(value), value))
