# A month, or a year, for the owner.
month-title-year = Year { $month } ({ $zone })
month-title-closed = Month { $month } ({ $zone }), version { $version }
month-title-draft = Month { $month } ({ $zone }), draft
month-issuer = { $issuer }: { $title }
month-loads = { $loads ->
    [one] { $loads } load, { $refused } refused
   *[other] { $loads } loads, { $refused } refused
}
month-received = Received { $received }, diverted { $diverted }
month-pending = { $figures ->
    [one] { $figures } figure has
   *[other] { $figures } figures have
} changed in the book since this version was closed. To make the next version: trayful month { $month } --close --why REASON
month-by-supplier = By supplier and stream
month-estimated = Of the received weight { $weight } was estimated by volume, not weighed (marked *).
month-where-it-went = Where it went
month-flw = Destinations of the FLW Standard
month-balance = Balance
month-seal = Book seal { $seal }.
month-draft = DRAFT: the month is not closed; figures may still change.
month-closed = Version { $version }, closed { $when } by { $who }
month-closed-why = Version { $version }, closed { $when } by { $who }: { $why }
month-same-as = No figure here differs from version { $before }.
month-changed-since = Changed since version { $before }
month-way = { $way ->
    [fed] fed to larvae
    [composted] compost
    [returned] back to the supplier
    [landfilled] landfill
    [liquor] liquid drained off
    [picked-out] parts picked out
    [animals] other animals
    [processing] made into other goods
    [digestion] digester
    [combustion] burned under control
    [land] spread on land
    [discards] dumped or littered
    [sewer] down the drain
   *[refused] turned away at the dock
}

# The month's balance.
balance-line = { $line ->
    [opening] opening stock
    [received] received
    [bought] bought
    [water] water
    [fed] fed
    [composted] composted
    [returned] returned
    [landfilled] landfilled
    [picked-out] picked out
    [liquor] liquid drained off
    [elsewhere] other ways
    [closing] closing stock
   *[shrink] shrink
}
balance-open = The balance does not close: { $grams } g. Run `trayful check`.
balance-closes = In and out add up exactly. Shrink is what no record explains: scale remainders, drying, drip.
balance-shrink = The scale's steps alone can explain { $explains } either way (2u, rectangular distribution). Shrink is { $shrink }: { $verdict }.
balance-by-scale = the scale can explain it
balance-lost = more than the scale explains; think of drying, drip, or something that left without a record
balance-found = more was found than the scale explains; think of water taken up, or a load nobody weighed in

# Figures that changed between two versions, and the records behind them.
changed-difference = difference
changed-figure = { $figure ->
    [loads] loads
    [refused_loads] refused loads
    [opening] opening
    [received] received
    [bought] bought
    [estimated] estimated
    [refused] refused
    [picked_out] picked out
    [fed] fed
    [composted] composted
    [returned] returned
    [landfilled] landfilled
    [liquor] liquid drained off
    [animals] animals
    [processing] processing
    [digestion] digestion
    [combustion] combustion
    [land] land
    [discards] discards
    [sewer] sewer
    [shrink] shrink
    [closing] closing
    [bought_on_the_night] bought on the night
   *[water_added] water added
}
correction-ticket = ticket #{ $ticket }
correction-of-ticket = correction r{ $record } of ticket #{ $ticket }
correction-record = record r{ $record }
correction-other-record = { $kind ->
    [fed] fed
    [discard] discard
   *[reweigh] reweigh
} r{ $record }
correction-no-reason = no reason
correction-struck = { $what } of { $when } struck by { $who } on { $written }: { $why }
correction-corrected = { $what } of { $when } corrected by { $who } on { $written }: { $why }
correction-written = { $what } of { $when } written by { $who } on { $written }

# The months of a year.
year-draft = { $open ->
    [one] DRAFT: { $open } of the 12 months is not closed; figures may still change.
   *[other] DRAFT: { $open } of the 12 months are not closed; figures may still change.
}
year-by-month = By month
year-balance-by-month = Balance by month
year-is-the-sum = Each month as the book has it now. The year is their exact sum.
year-empty-months = Months with no record are left out.
year-changed = The book has changed since these months were closed: { $months }. To see what changed: trayful month { $first }
year-closed = closed
year-open = open
year-version-changed = version { $version }, changed since
year-all = All

# For the owner.
owner-heading = For the owner
owner-trend = Received and diverted by month, { $unit }
owner-trend-drawn = A line for received and one for diverted weight, up to twelve months
owner-weekdays = Received by weekday, { $unit }
owner-weekdays-drawn = A bar for each weekday, Monday first
owner-top = Top streams, { $unit } received
owner-top-drawn = A bar for each of the streams with the most accepted weight
owner-spoiled = Spoiled: { $pct } % of the feed stock that left ({ $lost } of { $all }) did not go to the larvae.
owner-nothing-left-in-month = Spoiled: no feed stock left in the month.
owner-nothing-left-in-year = Spoiled: no feed stock left in the year.

# What counts as diverted.
diverted-default = Diverted = accepted net weight, less parts picked out, less what later went to landfill, combustion, refuse/discards, back to the supplier or down the drain. Fed and composted weight counts as diverted; bought stock and added water do not (our default rule).
diverted-flw = Diverted = weight that in the month reached animal feed, biomaterial/processing, co/anaerobic digestion, compost/aerobic or land application; bought stock and added water do not count. The FLW Standard names the destinations but defines no "diverted": this sum is our reading of it.
diverted-epa-workgroup = Diverted = weight that in the month reached animal feed, biomaterial/processing or compost/aerobic; bought stock and added water do not count. After the definition of EPA's National Measurement Workgroup: not landfilled, piled, land-applied for long, burned or made into fuel (digestion is left out as fuel: our reading).
diverted-still-here = Not fed yet, still in stock: { $weight }. What came in counts as kept from disposal until a record sends it elsewhere.
diverted-below-zero = Diverted is below zero where more of what came in earlier was thrown away than came in now.

# The FLW Standard's ten destinations, by the short names of its scope template.
flw-destination = { $destination ->
    [animal-feed] animal feed
    [biomaterial] biomaterial/processing
    [digestion] co/anaerobic digestion
    [compost] compost/aerobic
    [combustion] controlled combustion
    [land] land application
    [landfill] landfill
    [not-harvested] not harvested
    [discards] refuse/discards
   *[sewer] sewer
}
flw-larvae-are-animals = { $way } (larvae are animals: our choice)
flw-parts-in-it = { $way } (with parts picked out)
flw-liquor-in-it = { $way } (with liquid drained off)
flw-fed-to-larvae = { $way } (fed to larvae)
flw-parts-picked-out = { $way } (parts picked out)
flw-liquor = { $way } (liquid drained off)
flw-diverted-by-rule = diverted of all loads by the rule `{ $rule }`

# What the FLW Standard asks a report to state.
scope-heading = What these figures are
scope-month = { $month } local, first 00:00 up to the next first 00:00, { $zone }
scope-year = { $month } local, 1 January 00:00 up to the next 1 January 00:00, { $zone }
scope-days = { $first } 00:00 up to the end of { $last }, { $zone }
scope-all-suppliers = all organic material brought to the farm
scope-one-supplier = organic material brought to the farm by { $supplier }
scope-timeframe = Timeframe: { $when }, by the time of weighing.
scope-material = Material: food and inedible parts together, wet weight as received.
scope-apart = Neither of these, so not covered by the standard and not in its table of destinations: { $streams }.
scope-left-out = Packaging is left out as tare; bought stock and added water are not in these figures.
scope-left-out-and-packaging = Packaging is left out as tare and where picked out; bought stock and added water are not in these figures.
scope-boundary = Boundary: { $whose }, after the supplier's dock; losses before harvest are not in it.
scope-method = Method: each load weighed, gross less tare, not on a verified scale, division { $division }.
scope-method-verified = Method: each load weighed, gross less tare, on a verified scale ({ $why }), division { $division }.
scope-estimated = { $weight } of it was estimated by volume and bulk density, not weighed.
scope-nothing-weighed = Uncertainty: no load of the month was weighed.
scope-uncertainty = Uncertainty: the scale's division alone gives the sum of { $nets ->
    [one] { $nets } net
   *[other] { $nets } nets
} a standard uncertainty of { $weight } (rectangular distribution, d/√6 a net). An error of calibration comes on top and does not average out.
parts-none = Nothing was picked out by hand.
parts-picked-out = Picked out by hand: { $parts }.
parts-inedible = { $weight } inedible parts
parts-packaging = { $weight } packaging, neither food nor inedible parts
parts-unsaid = { $weight } parts of unknown kind
