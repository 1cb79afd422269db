"""The help of the shop's own pages, by the names of their routes."""

from __future__ import annotations

from django.utils.translation import gettext_noop as _

from shop.extensions.help import PageHelp

OF_SHOP: tuple[PageHelp, ...] = (
    PageHelp(
        ("home", "today_list"),
        _(
            "Each list is what waits for the same thing, the longest first, with your own "
            "orders on top. A line says the next act; open its order to do it."
        ),
        "list",
        ("work",),
    ),
    PageHelp(
        ("search",),
        _(
            "Type any part of a plate, name, telephone number, VIN, order number or tyre "
            "size, in any order. An order number or a whole plate leads straight to its page."
        ),
        "list",
    ),
    PageHelp(
        ("order_list",),
        _(
            "Every order, the newest first. Search by number, customer, plate, telephone or "
            "tyre size, and choose a state to see those alone."
        ),
        "list",
        ("work",),
    ),
    PageHelp(
        ("order", "order_log", "order_cost", "order_when", "order_done", "order_held"),
        _(
            "The sentence at the top says what this order waits for, and whose act it is. "
            "Below it stand clearance, costs, appointment and work, each with its pages."
        ),
        "card",
        ("work", "clearance", "rule"),
    ),
    PageHelp(
        ("order_new", "order_edit", "walk_in", "order_copy"),
        _(
            "Choose the vehicle, then write down what the customer asks for and what the car "
            "is used for. Both decide what is checked and quoted."
        ),
        "card",
        ("use",),
    ),
    PageHelp(
        ("order_move", "order_wait", "order_notes"),
        _(
            "Here the order goes on, back, or waits. A step that needs a reason asks for it, "
            "and the reason stays in the log."
        ),
        "card",
    ),
    PageHelp(
        ("gate_override",),
        _(
            "Read what the check says before you decide: your reason and name stay on record "
            "with it. The decision ends as soon as the job changes."
        ),
        "section",
        ("rule", "clearance", "uncertainty"),
    ),
    PageHelp(
        ("order_lines", "parts_order"),
        _(
            "Write labour in hours and parts in pieces; totals and tax follow. What was sent "
            "as a quote stays as it was, until a new quote is sent."
        ),
        "quote",
    ),
    PageHelp(
        ("quote", "quote_send", "quote_sign"),
        _(
            "The quote is frozen as it stands here, with what the check says. The customer "
            "approves it on their link, or signs in person."
        ),
        "quote",
        ("rule", "options"),
    ),
    PageHelp(
        (
            "booking_new",
            "booking_cancel",
            "booking_move",
            "booking_no_show",
            "day_sheet",
            "week_sheet",
        ),
        _(
            "A line is a bay, with its appointments in the order of the day. An appointment "
            "takes one bay and one technician, who cannot be booked twice."
        ),
        "calendar",
    ),
    PageHelp(
        ("torque_sign", "torque_loosen", "not_fitted", "installed_new"),
        _(
            "Sign for each fastener with the wrench that you used. What was loosened again, "
            "or left out, is said here with its reason."
        ),
        "torque",
    ),
    PageHelp(
        ("road_test", "hand_over", "comeback_new"),
        _(
            "Say whether anything touched, and where. If that contradicts the check, say what "
            "is wrong, so that the next answer is better."
        ),
        "section",
        ("spot",),
    ),
    PageHelp(
        ("order_sheet", "job_sheet"),
        _(
            "The spec sheet says what was fitted, set and measured. It is printed in the "
            "customer's language."
        ),
        "quote",
    ),
    PageHelp(
        ("customer_list", "customer", "customer_new", "customer_edit"),
        _(
            "A customer has a telephone number, a language and units, and any number of "
            "vehicles. Quotes and sheets are written in that language."
        ),
        "people",
    ),
    PageHelp(
        ("vehicle_list", "vehicle", "vehicle_new", "vehicle_edit"),
        _(
            "A vehicle belongs to a customer and to a car model. Its orders and readings stay "
            "with it."
        ),
        "people",
        ("car model",),
    ),
    PageHelp(
        ("car_model_list", "car_model", "car_model_new", "car_model_edit"),
        _(
            "What is measured on one car serves all of its model. Bolts, torques and original "
            "sizes stand here, and the survey of each corner."
        ),
        "survey",
        ("car model", "spot"),
    ),
    PageHelp(
        ("part_list", "part_new", "part_edit"),
        _(
            "A part has a price, and what it can set with how far it reaches. Clearance "
            "checks and quote lines take it from here."
        ),
        "parts",
        ("packer", "camber set with"),
    ),
    PageHelp(
        ("class_list", "class_record", "class_new", "class_edit", "order_class_rules"),
        _(
            "A class holds the limits of a rule book, each with its wording. Settings and "
            "parts of an order are held against it."
        ),
        "list",
    ),
    PageHelp(
        ("bay_list", "bay_new", "bay_edit"),
        _("Appointments are booked in bays. A bay that is out of use keeps its past appointments."),
        "shop",
    ),
    PageHelp(
        ("staff", "staff_new", "staff_edit"),
        _(
            "A service writer quotes and books, a technician measures and fits, a manager "
            "decides. Each signs with their own name."
        ),
        "people",
    ),
    PageHelp(
        ("shop_settings",),
        _(
            "Name, address and tax stand on every quote and sheet. Quotes that were sent stay as "
            "they are."
        ),
        "shop",
    ),
    PageHelp(
        ("opening_hours",),
        _(
            "Appointments are offered within these hours. Another time, or a closed day, is booked "
            "with a reason."
        ),
        "calendar",
    ),
    PageHelp(
        ("feeds", "feed_new", "feed_renew", "feed_end"),
        _(
            "A calendar program reads a bay's or a person's appointments from its secret address. "
            "Renew the address when someone has it who should not."
        ),
        "calendar",
    ),
    PageHelp(
        ("account", "password"),
        _(
            "Choose the language of your pages, and your password. Neither changes what "
            "customers read."
        ),
        "people",
    ),
    PageHelp(
        ("parts_expected", "order_parts"),
        _(
            "Each part on order has its supplier, promised day and what has arrived of it. "
            "Enter pieces as they come; late parts stand first."
        ),
        "parts",
    ),
    PageHelp(
        ("supplier_list", "supplier_new", "supplier_edit", "price_list"),
        _(
            "A supplier is named once and offered wherever parts are ordered. "
            "A price list shows what it changes before it is taken."
        ),
        "parts",
    ),
    PageHelp(
        ("package_list", "package_new", "package_edit"),
        _(
            "A package is the parts and hours that go with a piece of planned work. "
            "It fills quote lines in one press, and each line can still be changed."
        ),
        "quote",
    ),
    PageHelp(
        ("deposit_new", "deposit_edit"),
        _(
            "Note what was asked for before the work, and what was received, when and how. "
            "It stands on the quote, and is named before the order is cancelled."
        ),
        "quote",
    ),
    PageHelp(
        ("order_mail", "mail_again", "mail_returned", "mail_text"),
        _(
            "Every email of this order stands here with what became of it. "
            "The link, its code and its text can be passed on in any other way."
        ),
        "people",
    ),
    PageHelp(
        ("mail_settings",),
        _(
            "What customers get by email, in each language, and what the mail server said last. "
            "The server itself is set where the program runs."
        ),
        "shop",
    ),
    PageHelp(
        ("order_files", "vehicle_files", "corner_files", "file_edit", "file_remove"),
        _(
            "Photos are kept without place and camera, files as they are. "
            "The customer sees only what is marked for them."
        ),
        "file",
    ),
    PageHelp(
        ("customer_answers",),
        _(
            "What the customer asked, chose or declined on their page. "
            "A reply stands there at once, and goes out by email where a server is set."
        ),
        "people",
    ),
    PageHelp(
        ("customer_merge", "vehicle_merge"),
        _(
            "Two records of the same customer or car become one, with all orders of both. "
            "The log of each order says who joined them."
        ),
        "people",
    ),
)
