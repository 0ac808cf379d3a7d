# The page of the dock, for who works there and for the owner.

# nav
dock-nav-skip = To the page
dock-nav-pages = Pages
dock-nav-look = Language and look
dock-nav-weigh = Weigh in
dock-nav-stock = Stock
dock-nav-tonight = Tonight
dock-nav-cohorts = Larvae
dock-nav-month = Month
dock-nav-statement = Statement
dock-nav-labels = Labels
dock-nav-light = Light
dock-nav-dark = Dark
dock-nav-harvest = Harvest
dock-nav-money = Money
dock-nav-learn = What your records say
dock-nav-mixes = Which mixes worked
dock-nav-office = Office

# page
dock-page-table = Table
dock-page-remark = Remark
dock-page-print = Print

# weigh
dock-weigh-supplier = Supplier
dock-weigh-another = Another
dock-weigh-new-supplier = New supplier
dock-weigh-stream = What is it?
dock-weigh-all-streams = Say what it is, as people call it
dock-weigh-weight = Weight
dock-weigh-gross = With the container
dock-weigh-container = Container
dock-weigh-tare = Other tare
dock-weigh-more = Only if needed
dock-weigh-picked = Picked out, weight
dock-weigh-picked-kind = What was picked out
dock-weigh-moisture = Moisture tested, %
dock-weigh-refuse = Turn it away because of
dock-weigh-refuse-why = Other reason
dock-weigh-refuse-kind = { $what ->
    [glass] glass, sharps
    [chemicals] chemicals
    [sanitary] sanitary waste
    [medicated] medicated or treated
    [putrid] putrid
   *[mouldy] mouldy
}
dock-weigh-no = Not turned away
dock-weigh-note = Note
dock-weigh-by = Who
dock-weigh-sure = Save it anyway
dock-weigh-change = Do not save: change it
dock-weigh-no-container = No container
dock-weigh-keep = Save
dock-weigh-recent = Last tickets
dock-weigh-tally = { $supplier } today: { $loads ->
    [one] { $loads } bucket
   *[other] { $loads } buckets
}, { $weight }
dock-weigh-choose = Choose a supplier, what it is and the container, and weigh.

# done
dock-done-ticket = Ticket
dock-done-next = Next bucket
dock-done-label = Label
dock-done-on = Go on

# undo
dock-undo-do = Undo
dock-undo-title = Undo { $what }
dock-undo-late = This was written more than two minutes ago, so one touch does not undo it. Say in a few words why it is undone. It stays in the book, crossed out.
dock-undo-reason = Why
dock-undo-leave = Leave it as it is
dock-undo-done = Undone. What was kept stays in the book, crossed out. The entry is back in the form: change what was wrong.

# wait
dock-wait-title = Waiting to be sent:
dock-wait-away = The book can't be reached. What you entered waits on this tablet and is sent again by itself. Stay on this page.
dock-wait-back = Put back in the form: change it there, or save it as it is.
dock-wait-really = Really delete it? Press again: it is gone then.
dock-wait-broken = This entry is damaged. Write down what is left of it:
dock-wait-sent = Sent now:
dock-wait-seen = OK
dock-wait-again = Put back in the form
dock-wait-drop = Delete it
dock-wait-yes = It is right, save it
dock-wait-pin = Enter the PIN to go on sending
dock-wait-full = This tablet can't keep the entry. Write it on paper.
dock-wait-look = To look at:
dock-wait-hold = Hold this bucket aside until its answer comes.
dock-wait-held = with container
dock-wait-nothing = This entry is damaged: nothing of it can be read.
dock-wait-old = It has waited for more than a day: ask the owner.

# reading
dock-reading-holds = This weight holds { $what } already, and another reading came. Which one is it?
dock-reading-old = Keep { $what }
dock-reading-new = Take { $what }
dock-reading-touch = Touch the weight it belongs to, then weigh again. The scale typed:
dock-reading-whole = { $what } with the container
dock-reading-less = { $gross } less container { $tare }

# clock
dock-clock-behind = This tablet's clock is { $far } behind (it said { $said }). Kept by the book's clock: { $kept }.
dock-clock-ahead = This tablet's clock is { $far } ahead (it said { $said }). Kept by the book's clock: { $kept }.

# tonight
dock-tonight-night = Night of { $what }
dock-tonight-nothing-due = Night of { $what }: no trays due
dock-tonight-fed-already = Fed and written down
dock-tonight-keep = Keep this sheet
dock-tonight-anew = Make a new mix
dock-tonight-bar = What the mix is made of
dock-tonight-tick = Weigh out, and tick each line
dock-tonight-tick-how = Tick each line that was fed. Where another weight was taken, weigh or type it; 0 takes the line off.
dock-tonight-otherwise = Other weight
dock-tonight-else = other
dock-tonight-of-night = Night of { $day }
dock-tonight-sheet = sheet r{ $record }
dock-tonight-not-checked = NOT CHECKED. You took other weights than the sheet says.
dock-tonight-of = of { $what } lines are ticked
dock-tonight-others = Not as on the sheet; the rest as it says
dock-tonight-other = { $line }: { $fed } where the sheet says { $sheet }
dock-tonight-left = { $line }: not fed; the sheet says { $sheet }
dock-tonight-fed-of = { $title } of { $all }
dock-tonight-as-said = All of it as the sheet says.
dock-tonight-fed = Fed
dock-tonight-open-fed = Yes, all of them were fed
dock-tonight-open-left = No, only the ticked ones
dock-tonight-open-back = Go back and tick
dock-tonight-bare = This sheet was kept earlier tonight. The stock has changed since, so its figures are not shown again; its weights stand as kept.
dock-tonight-back-to = Back to the kept sheet
dock-tonight-used-up = Used up: { $what }
dock-tonight-recent = Recorded for this night

# gauge
dock-gauge-chance = chance of being inside

# month
dock-month-show = Show

# statement
dock-statement-nobody = No supplier brought anything in this month.

# trace
dock-trace-title = Trace
dock-trace-buyer = Buyer
dock-trace-show = Trace
dock-trace-recall = Recall sheet
dock-trace-another = Trace something else
dock-trace-more = Trace a cohort, a supplier or a buyer

# harvest
dock-harvest-cohort = Cohort
dock-harvest-day = day { $what }
dock-harvest-about = { $what } larvae at the start
dock-harvest-weights = Weights
dock-harvest-larvae = Larvae, fresh
dock-harvest-residue = Residue, if weighed
dock-harvest-sample = A sample, to know how many
dock-harvest-sample-count = Larvae counted
dock-harvest-sample-g = What they weigh, grams
dock-harvest-trays = Trays
dock-harvest-residue-to = Where the residue goes
dock-harvest-way = { $what ->
    [kept] kept on the farm
    [sold] sold as frass
    [land] spread on land
    [composted] to compost
    [digestion] to a digester
   *[landfilled] to landfill
}
dock-harvest-last = Last of it: nothing is left on the trays
dock-harvest-more = More: moistures, full count, dead, note
dock-harvest-larvae-moisture = Moisture of the larvae, %
dock-harvest-residue-moisture = Moisture of the residue, %
dock-harvest-count = Larvae, all of them counted
dock-harvest-dead = Dead larvae seen
dock-harvest-nitrogen = Nitrogen of the larvae, % of dry matter
dock-harvest-mind = Caution: mask and eye protection on. Air the room first. Use tools and cut-resistant gloves, never bare hands in the residue.
dock-why-caution = Why
dock-harvest-done = Harvest of { $cohort }: { $larvae } of larvae
dock-harvest-choose = Choose a cohort and weigh the larvae.
dock-harvest-off-trays = Cohort { $what } is off its trays.
dock-harvest-no-count = No count: survival can't be told. Next time count a hundred larvae and weigh them.
dock-harvest-own-page = What it made of its feed
dock-harvest-recent = Last harvests
dock-harvest-list = What cohorts made of their feed
dock-harvest-newest = Cohorts on trays that were harvested in part, and those that ended in the last 90 days. A cohort's name leads to its own page.
dock-harvest-all = Show all cohorts

# discard
dock-discard-title = Pick out and weigh
dock-discard-weigh = Weigh what is picked out
dock-discard-lot = Lot
dock-discard-on-hand = { $what } on hand
dock-discard-expect = about { $what }
dock-discard-out = { $what } taken out
dock-discard-none = No lot on hand has parts to pick out.
dock-discard-weight = Parts picked out, without their container
dock-discard-kind = What was picked out, if it is something else
dock-discard-choose = Choose the lot and weigh the parts.
dock-discard-left = On hand now: { $what }
dock-discard-recent = Last picked out

# money
dock-money-write = Add money in or out
dock-money-item = What for
dock-money-kind = { $what ->
    [gate-fee] gate fee
    [sold-live] live larvae sold
    [sold-dried] dried larvae sold
    [sold-frass] frass sold
    [feed] bought feed
    [labour] labour
    [energy] energy
    [packaging] packaging
    [disposal] disposal
   *[other] other
}
dock-money-in = In
dock-money-out = Out
dock-money-amount = Amount
dock-money-minutes = Minutes of labour
dock-money-kwh = Kilowatt hours of energy
dock-money-rate = An hour or a kWh costs
dock-money-what = Task, or what else
dock-money-weight = Weight it is for
dock-money-party = Who paid or was paid
dock-money-whole-farm = the whole farm
dock-money-how = Leave the amount out where minutes or kilowatt hours say it. If you leave out what an hour or a kWh costs, the last rate is used.
dock-money-choose = Choose what it is for.
dock-money-reckoned = Reckoned: { $what }.
dock-money-recent = Last entries of this month

# labels
dock-labels-all = All labels
dock-labels-came-in = In
dock-labels-spoils-by = Spoils by
dock-labels-only = Print only lot { $what }

# pin
dock-pin-title = PIN
dock-pin-label = PIN, as shown where the program runs
dock-pin-enter = Come in
dock-pin-wrong = That is not the PIN.
dock-pin-wait = Too many wrong tries. Wait { $what } seconds.

# What the forms call a field of an act.
dock-field = { $field ->
    [supplier] { dock-weigh-supplier }
    [like] { dock-own-like }
    [keeps] { dock-own-keeps }
    [verdict] { dock-own-verdict }
    [stream] Stream
    [gross] { dock-weigh-weight }
    [weight] { dock-weigh-weight }
    [container] { dock-weigh-container }
    [tare] { dock-weigh-container }
    [moisture_pct] Moisture
    [picked_out] { dock-weigh-picked }
    [picked_out_kind] { dock-weigh-picked-kind }
    [kind] { dock-weigh-picked-kind }
    [refuse] { dock-weigh-refuse }
    [note] { dock-weigh-note }
    [by] { dock-weigh-by }
    [why] { dock-undo-reason }
    [lot] { dock-discard-lot }
    [act] { dock-lot-what }
    [wet] { dock-lot-wet }
    [dry] { dock-lot-dry }
    [dish] { dock-lot-dish }
    [squeeze] { dock-lot-squeeze }
    [to] { dock-lot-to }
    [at] Time
    [night] { dock-nav-tonight }
    [group] Feed group
    [cohort] { dock-harvest-cohort }
    [hatched] { dock-cohort-hatched }
    [trays] { dock-cohort-trays }
    [tray_area] { dock-cohort-tray }
    [feeding] { dock-cohort-feeding }
    [larvae] { dock-nav-cohorts }
    [residue] { dock-harvest-residue }
    [residue-to] { dock-harvest-residue-to }
    [count] { dock-harvest-count }
    [sample] { dock-harvest-sample }
    [dead] { dock-harvest-dead }
    [larvae-moisture] { dock-harvest-larvae-moisture }
    [residue-moisture] { dock-harvest-residue-moisture }
    [larvae-nitrogen] { dock-harvest-nitrogen }
    [item] { dock-money-item }
    [amount] { dock-money-amount }
    [minutes] { dock-money-minutes }
    [kwh] { dock-money-kwh }
    [rate] { dock-money-rate }
    [what] { dock-money-what }
    [party] { dock-money-party }
    [name] { dock-settings-name }
    [zone] { dock-settings-zone }
    [unit] { dock-settings-unit }
    [division] { dock-settings-division }
    [currency] { dock-settings-currency }
    [region] { dock-settings-region }
    [larvae-for] { dock-settings-larvae-for }
    [verified-scale] { dock-settings-verified }
    [diverted-rule] { dock-settings-rule }
    [decimal-mark] { dock-settings-mark }
    [language] { dock-settings-language }
    [sure] { dock-settings-sure }
    [smallest] { dock-settings-smallest }
    [most-lots] { dock-settings-most-lots }
    [water] { dock-settings-water }
    [small-scale] { dock-settings-small-scale }
    [first-stage] { dock-settings-first-stage }
    [holds] { dock-containers-holds }
    [price_per_kg] Price
    [price] Price
    [month] { dock-nav-month }
    [proposal] { dock-take-which }
   *[other] { $field }
}

# error
dock-error-not-taken = { $field }: { $seen } is not taken. Taken: { $accepted }
dock-error-missing = { $field } is missing. Taken: { $accepted }
dock-error-host = This address is not one this page answers to.
dock-error-stopping = The book can't be reached just now. Nothing was lost; try again.
dock-error-slow = This took too long: another program may be using the book. It may be written down or not; send it again, and it stands in the book once.
dock-error-broke = A fault of the program: this was not recorded. Write it on paper, and tell who looks after the program.
dock-error-foreign = This change came from another page, so it was not done.
dock-error-token = This page is out of date. Load it again; nothing was recorded.
dock-error-too-large = That is too large; nothing was recorded.
dock-error-pin = Enter the PIN first.
dock-error-refused = Not recorded
dock-error-unread = Can't be shown
dock-error-nothing = There is no such page.
dock-error-back = Back to today
dock-office-month = What came in, where it went, what is left
dock-office-statement = A page for each supplier, to hand out
dock-office-money = What larvae cost, and what to write down
dock-office-learn = How your loads differ from the tables
dock-office-mixes = Which mixes went with good harvests
dock-office-trace = Where a load went, and what to call back
dock-stock-today = Use today
dock-stock-tomorrow = Use by tomorrow
dock-stock-later = Keeps longer
dock-stock-not-feed = Not for larvae
dock-stock-table = All of it as a table
dock-tonight-figures = The mix as a bar, and each figure in its window
dock-lot-open = Test, weigh, look, send away
dock-lot-what = What is done?
dock-lot-what-is = what is done: dried, squeezed, reweigh, fit, not-fit or away
dock-lot-choose = Choose the lot and what is done.
dock-lot-kind = { $what ->
    [dried] Moisture: dry a sample
    [squeezed] Moisture: squeeze a handful
    [reweigh] Weigh it anew
    [fit] Looked at: good
    [not-fit] Looked at: not good
   *[away] Throw or send it away
}
dock-lot-wet = Sample before drying, grams
dock-lot-dry = Sample after drying, grams
dock-lot-again = After drying { $what }, grams
dock-lot-dish = Dish alone, grams (blank if the scale takes it off)
dock-lot-log = Dry, weigh, stir. Dry one minute more and weigh again, until it loses less than 1 g of 100 g. If it chars, use the weight before.
dock-lot-grams = grams, such as 100 or 23.5
dock-lot-method = Dried in
dock-lot-method-kind = { $what ->
    [oven] an oven
   *[microwave] a microwave
}
dock-lot-squeeze = What the hand sees
dock-lot-squeeze-kind = { $what ->
    [runs] Water runs out, it holds its shape
    [just] Water just comes out
    [holds] Little or no water, it holds its shape
    [slow] No water, it falls apart slowly
   *[fast] It falls apart fast
}
dock-lot-look = Look at it in open air. Don't put your nose in the bucket: mould and gases.
dock-lot-to = Where it goes
dock-lot-where = where it goes, one of the list
dock-lot-weight = Weight without the container; blank for all of it
dock-lot-weight-is = what the scale says, as 12.5 lb
dock-lot-spoiled = It was spoiled
dock-nav-ahead = Nights ahead
dock-office-ahead = What to buy, accept and use in the next nights
dock-cohort-title = New larvae on trays
dock-cohort-name = Name on the trays
dock-cohort-hatched = Hatched on
dock-cohort-day = a day, such as 2026-11-12
dock-cohort-larvae = How many larvae
dock-cohort-trays = How many trays
dock-cohort-number = a whole number, such as 60000
dock-cohort-tray = Size of one tray
dock-cohort-area = sides such as 60x40cm, or square metres
dock-cohort-counted = How they were counted
dock-cohort-feeding = How often they are fed
dock-cohort-ends = It ends
dock-cohort-why = Why it ends
dock-home-title = Today
dock-home-weigh = Weigh in
dock-home-sheet = Tonight's sheet
dock-home-tick = Write down what was fed
dock-home-due = Due tonight: { $group }, { $trays ->
    [one] { $trays } tray
   *[other] { $trays } trays
}
dock-home-none-due = No trays due tonight
dock-home-fed = Tonight's sheet: fed
dock-home-past = Past its time: look at it first
dock-home-use = Use tonight
dock-home-more = { $what } more in the stock
dock-home-first = To begin
dock-month-or-year = Month or year
dock-page-workbook = Workbook
dock-plain-stays = What you leave empty stays as it is.
dock-correct-weight = Is the weight wrong? Undo the ticket and weigh again.
dock-plain-choose = Answer what is asked first.
dock-plain-more = More
dock-plain-such-as = such as { $what }
dock-settings-title = Settings
dock-settings-language-each = as each tablet asks
dock-settings-kept = Settings kept
dock-settings-name = Farm's name on statements
dock-settings-zone = Time zone
dock-settings-unit = Unit of the scale
dock-settings-division = Smallest step the scale shows
dock-settings-currency = Currency
dock-settings-region = Where the farm is, for the rules on use
dock-settings-region-kind = { $what ->
    [eu] European Union
    [gb] Great Britain
    [us] United States
   *[other] elsewhere
}
dock-settings-larvae-for = What larvae are for
dock-settings-larvae-kind = { $what ->
    [poultry-fish-pig] feed for poultry, fish or pigs
    [pet] pet food
   *[not-feed] not for feed
}
dock-settings-mark = Decimal mark
dock-settings-mark-kind = { $what ->
    [comma] comma: 12,5
   *[point] point: 12.5
}
dock-settings-language = Language of pages and sheets
dock-settings-language-kind = { $what ->
    [es] Spanish
   *[en] English
}
dock-settings-verified = Why the scale counts as verified
dock-settings-rule = Rule for what counts as diverted
dock-settings-sure = Chance that each figure holds
dock-settings-smallest = Smallest weight worth taking
dock-settings-most-lots = Most lots in a mix
dock-settings-water = Water in a mix
dock-settings-water-kind = { $what ->
    [never] never
   *[last-resort] only where nothing else helps
}
dock-settings-small-scale = Small scale: step and most it carries
dock-settings-first-stage = Fed first when there is not enough
dock-containers-title = Containers
dock-containers-kept = { $container }: { $weight } empty
dock-containers-name = Name
dock-containers-weight = Weight when empty ({ $what })
dock-containers-holds = What it holds
dock-correct-title = Correct a ticket
dock-correct-word = { $field }: { $now } (first: { $first })
dock-correct-price = Price of one { $unit }, { $currency }
dock-close-title = Close the month
dock-close-none = There is no month to close yet: { $what } is not over, and the book begins in it.
dock-close-done = { $month } is closed, version { $version }
dock-close-why = Why it is closed again
dock-take-which = Take over
dock-day-title = Written down on { $day }
dock-day-count = { $records ->
    [one] { $records } record since midnight
   *[other] { $records } records since midnight
}
dock-day-what = what
dock-day-who = who
dock-day-undone = { $what } (undone)
dock-day-undid = undid: { $what }
dock-check-title = Is the book in order?
dock-copy = Save a copy of the book
dock-cohort-plan = { $what ->
    [daily] every night
    [every-2] every second night
    [every-3] every third night
   *[once] once
}
dock-office-correct = A wrong supplier, stream, note or price
dock-office-close = Freeze it, then hand it out
dock-office-settings = Place, scale, what larvae are for
dock-office-containers = Names and empty weights
dock-office-day = Who wrote down what today
dock-office-check = Look through the book, and save a copy
dock-office-figures = Figures and papers
dock-office-look-ahead = Look ahead and learn
dock-office-farm = The farm and its book
dock-day-name = Today's records
dock-check-name = Check and copy
dock-tonight-changed = This sheet is out of date. Changed since:
dock-tonight-old = Use the old sheet all the same
dock-tonight-grew = The book has grown since this page was opened. Load it again to see whether the mix would change.
dock-error-owner = Only the owner's PIN opens this.
dock-why = Why this figure?
dock-why-diverted = What was kept from disposal, added up
dock-why-received = What was received, by stream
dock-why-loads = { $what ->
    [one] 1 load
   *[other] { $what } loads
}
dock-month-diverted = kept from disposal
dock-month-counts = { $weight } counts as kept from disposal, with what still waits
dock-month-fed = fed to larvae
dock-month-waits = waiting in stock
dock-month-rest = It is the sum of both{ $rest ->
    [none] { "" }
   *[other] , with { $rest } used another way or dried away
}{ $opening ->
    [none] { "" }
   *[other] , less { $opening } that was in stock before the month
}.
dock-month-before = { $month }: { $weight }
dock-month-closed = Closed, version { $version }
dock-month-draft = Not closed yet: these figures may still change
dock-statement-diverted = of what you brought was kept from disposal
dock-month-all = All figures
dock-home-settings = Look at the settings
dock-close-what = The month's figures are kept as they stand now, so that what you hand out stays the same. If something changes later, close it again: the next version says what changed.
dock-close-figure = Kept from disposal: { $weight }. Received: { $received }.
dock-take-what = These defaults differ from what your own records say. Take one over, and stock and mix go by it from now on.
dock-month-year = All of { $what }
dock-stock-left = { $days } days left
dock-stock-past = { $days } days past
dock-tonight-full = All figures, windows and sources
dock-own-title = Your own streams
dock-own-what = Name something you get that is not in the list, and say what it is like. What you leave empty is taken from there.
dock-own-name = What you call it
dock-own-like = It is like
dock-own-moisture = Water in it, %, if you know
dock-own-keeps = Days it keeps, if you know
dock-own-verdict = Must it be treated more strictly?
dock-own-as-like = the same
dock-office-streams = Like bread, but your own
dock-day-some = The newest { $records } records of today; go on for those before
dock-day-rest = { $records ->
    [one] { $records } record more since midnight
   *[other] { $records } records more since midnight
}
dock-day-before = Earlier today
dock-weigh-say = { $what ->
    [refuse] Turn it away
    [picked] Picked out
    [moisture] Moisture
    [bought] Bought
    [touched] It touched ...
   *[note] Note, who
}
dock-weigh-not-listed = Not listed: the owner says later what it is
dock-weigh-bought = Bought: it is no waste
dock-weigh-touched = It touched
dock-weigh-class = { $what ->
    [kitchen] kitchen waste
    [meat-fish] meat, fish or bone
    [dairy-egg] milk or egg
   *[manure] manure
}
dock-weigh-part = { $what ->
    [bone] bone
    [shell] shell
    [pit] pits
    [plastic] plastic
    [metal] metal
   *[other] something else
}
dock-weigh-part-other = Something else, what
dock-told = Please look at this
dock-saved = Saved

# A scale on a wire.
dock-wire-state = { $what ->
    [gone] no cable
    [quiet] sends nothing
    [empty] empty
    [moving] moving, wait
    [below-zero] below zero: take all off, press zero
    [beyond] too heavy, or a fault
    [unread] not understood
   *[steady] steady
}
dock-wire-take = Take it
dock-wire-title = Scale
