# Verdicts on a load at the dock, with their reasons.
flag-barred = barred for this farm's larvae ({ $of })
flag-too-late = { $reason }; too late to turn it away
flag-ask-first = allowed only on conditions for this farm's larvae ({ $of })
flag-all-inedible = nothing but { $kind }, which larvae leave
flag-part-inedible = about { $pct } % of the weight is { $kind }, which larvae leave
flag-may-hold = may hold { $kind }, nobody knows how much: look
flag-feed = it may be fed
flag-woody = woody carbon by its class: larvae leave it
flag-lignin = lignin { $pct } % of dry matter, above { $most } % ({ $label })
flag-carbon-to-nitrogen = C:N { $ratio }, above { $most } ({ $label })

# What the rules on use say.
use-allowed = usually allowed with records
use-ask-first = conditional, ask first
use-barred = usually barred
use-leave = leave given by { $who } on { $day } for: { $what }
rule-origin = { $year ->
    [undated] source undated
    [none] our own reading
   *[other] source of { $year }
}; compiled { $compiled }
use-note = { $lead } ({ $origin }): { $reason }
use-note-and-check = { $lead } ({ $origin }): { $reason } Check with your local authority.

# Where a load is put down.
put = { $verdict ->
    [feed] feed shelf, oldest in front
    [pick-out] sorting bench: pick the parts out and weigh them, then to the feed shelf
    [ask-first] holding place, marked ASK FIRST, away from the feed shelf
    [compost] compost and bulking pile, not the feed shelf
   *[refuse] stays closed with the supplier; do not tip it
}

# Cautions with a whole load that is refused; common practice, no source.
refused-load = { $what ->
    [glass] Sharps: do not reach in; cut-resistant gloves and a tool, and leave the whole bucket closed.
    [chemicals] Chemicals: do not tip, smell or mix; keep it shut and follow your local rules for hazardous waste.
    [sanitary] Sanitary waste: gloves, keep it shut, wash hands; follow your local health rules.
    [medicated] Medicine or pesticide in it: larvae may carry it on to what eats them. Keep it out and ask your authority.
    [putrid] Rotten: do not sniff into the bucket. Gases gather in it and in closed rooms, so open it outdoors.
   *[mouldy] Mouldy: do not sniff at it or shake it; keep it shut and away from feed and food.
}

# What staff should do with a lot; the sign has the same word in large letters.
flag = { $verdict }: { $reason }
verdict = { $verdict ->
    [feed] feed
    [pick-out] pick out
    [ask-first] ask first
    [compost] compost
   *[refuse] refuse
}
sign = { $verdict ->
    [feed] FEED
    [pick-out] PICK OUT
    [ask-first] ASK FIRST
    [compost] COMPOST
   *[refuse] REFUSE
}

# Why a mix may not use a lot.
lot-too-old = too old: { $age } days, out after { $usable } ({ $times } x its keeping time, { $label }) unless someone looks
lot-not-fit = not fit tonight, says { $who }: { $note }
no-reason-given = no reason given
lot-stream-unknown = its stream is not in the stream table
lot-parts-picked-out = parts picked out
lot-picked-out = { $kinds } picked out
lot-moisture-unknown = moisture unknown: test it with `lot LOT test` or give it in the stream table
lot-analyte-unknown = { $analyte } unknown, and `{ $group }` has a window on it
lot-measure-unknown = { $analyte } unknown, and `{ $group }` has a window on { $measure }
lot-density-unknown = bulk density unknown, and `{ $group }` has a volume
lot-group-gets-none = `{ $group }` gets none of it
lot-too-little = too little is left to weigh: tip it in with the mix or compost it

# What the dock saw, and cautions with a load.
decided-at-dock = decided at the dock
dock-picked-out = { $kinds } picked out at the dock
dock-looked = looked at, no { $kind } seen
caution-leave-first = no sheet uses it before leave is in the book. Ask your local authority. Once it said yes, the owner writes at the terminal: trayful allow { $stream } --by-whom WHO --on DAY --for WHAT
caution-taken-as = “{ $word }” is written down as { $stream } ({ $name }, class { $class }). If it is another thing, correct the ticket.
weigh-may-be = “{ $word }” may be:
weigh-may-be-one = { $number }  { $id } ({ $class }): { $name }
weigh-no-such = Nothing is called “{ $word }”. `trayful streams` lists what there is.
caution-refused = { $what } Common practice, no source.
caution-lift = use a cart or two people. { $weight } is above 23 kg (51 lb), the most for one lift (NIOSH load constant, ideal conditions).
caution-few-divisions = net is below { $smallest }, 20 scale divisions: the scale's own step is a large part of it.
caution-estimated = weight guessed from volume. Published figures for food waste differ four times over, so every report says that it is a guess.
stream-verdict = Verdict: { $flag }
flag-own = the farm's own word for this stream
flag-not-listed = nobody has said yet what it is: ask the owner
caution-not-listed = it waits, marked, away from the feed shelf. The owner looks at it and corrects the ticket; then it may be fed.
caution-barred = it goes back with who brought it. Only your local authority can allow it. The owner asks there, and writes its answer into the farm's own rules on use.
