# Cautions at a harvest; they defer to local rules.
caution-dust = wear a mask and eye protection while you sieve, and keep the air moving. See a doctor at the first wheeze or rash. Sieving makes dust (how much: common practice, no source). Insect dust causes allergy (NIOSH found symptoms in a quarter of insect-rearing staff, MMWR 1984 33(31)).
caution-gases = air the room before you enter and while you work. Closed rooms of larvae gather ammonia and carbon dioxide (NIOSH limits: ammonia 25 ppm, OSHA: carbon dioxide 5,000 ppm, both over a shift).
caution-sharps = use tools and cut-resistant gloves, never bare hands: sharps may lie in the residue.
caution-sold = larvae and frass that are sold may need heat treatment, drying and registration (in the EU frass is treated as manure, 70 °C for 60 minutes, Regulation (EU) 2021/1925). Ask your local authority before the first sale.

# What cohorts made of their feed.
yields-title = Harvests by cohort
yields-in-all = { $larvae } of larvae off { $cohorts ->
    [one] { $cohorts } cohort
   *[other] { $cohorts } cohorts
}
yields-ended = ended
yields-on-trays = on trays
yields-fed-dry = fed, dry
yields-bioconversion = bioconversion %
yields-reduction = reduction %
yields-fcr-dry = FCR dry
yields-survival = survival %
yields-none-yet = No cohort was harvested yet.
yields-next = Next: trayful harvest COHORT --larvae 20lb --sample 100=15.2 --residue 25lb --last
yields-dash = A dash: no figure, as something it needs was not weighed, counted or tested. A cohort's own page (trayful harvest COHORT) says what.
yields-basis = Larval protein by { $factor }; { $start }. Counts with * come from a sample.
yields-own-start = Where a sample of the cohort was weighed at the start, its own start weight counts.
yield-title = Cohort { $cohort }: what it made of its feed
yield-in-all = { $larvae } of larvae from { $fed } of feed
yield-no-feed = { $larvae } of larvae; no meal of theirs was written down
yield-ended = { $nights ->
    [one] Hatched { $hatched }, ended { $day } ({ $why }); fed on { $nights } night.
   *[other] Hatched { $hatched }, ended { $day } ({ $why }); fed on { $nights } nights.
}
yield-on-trays = { $nights ->
    [one] Hatched { $hatched }, on its trays; fed on { $nights } night.
   *[other] Hatched { $hatched }, on its trays; fed on { $nights } nights.
}
yield-fed = Fed { $fed } ({ $dry }).
yield-fed-moisture = Fed { $fed } ({ $dry }, { $pct } % moisture).
yield-dry = { $weight } of dry matter
yield-dry-unknown = dry matter not known, as a lot's moisture is not
yield-parts = Of it: { $parts }.
yield-shared = A group's feed is shared among its cohorts by the dry matter each was due (our rule, as on the sheet).
yield-nothing-harvested = Nothing was harvested yet.
yield-figures = Figures
yield-check = Check: { $doubt }
yield-meanings = What each figure means
yield-meaning = { $name }: { $definition }; { $equation } ({ $citation }; { $evidence }).
yield-count = count
yield-dead = dead
yield-unit = unit
yield-basis = basis
yield-lacks = No figure yet of { $names }: { $lacks }.
yield-lacks-meals = No other figure yet: write down what they were fed, and it is worked out from then on.
harvested = harvested
residue = residue
residue-to-head = residue to
residue-to = { $to ->
    [kept] kept
    [sold] sold
    [land] land
    [composted] composted
    [digestion] digestion
   *[landfilled] landfilled
}
weight-impossible = too large to be true

# What a figure of conversion lacks.
lacks = { $what ->
    [feed-moisture] moisture of a lot fed is not known
    [feed-protein] protein of a lot fed is not known
    [larvae-moisture] moisture of the larvae is not known
    [larvae-nitrogen] nitrogen of the larvae is not known
    [residue-weight] residue was not weighed
    [residue-moisture] moisture of the residue is not known
    [start-count] number of larvae at the start is not known
    [end-count] number of larvae harvested is not known
    [days] days are not known
    [nothing-fed] nothing was fed
    [nothing-harvested] nothing was harvested
    [nothing-gained] larvae gained no dry matter
    [nothing-gone] no dry matter is gone from the feed
   *[not-a-number] an input is not a finite number
}

# The weight larvae began with, and what their nitrogen is multiplied by.
start-subtracted = start weight of { $mg_dry } mg dry matter subtracted for each larva put on trays
start-measured = start weight of { $dry } mg dry matter subtracted for each larva put on trays (its own sample, { $fresh } mg fresh, { $pct } % dry: Fuhrmann et al. 2024)
start-usual = start weight of { $mg_dry } mg dry matter subtracted for each larva put on trays (Gold et al. 2020; elsewhere 0.30 to 3.28 mg were measured: weigh a counted sample)
start-left-out = start weight not subtracted
nitrogen = N x { $factor } ({ $what })
nitrogen-usual = usual in feed analysis, overstates larvae
nitrogen-whole-larvae = whole larvae
nitrogen-extract = extracted protein
nitrogen-later = a later alternative
nitrogen-transposed = the farm's own; a published data set has 4.67 where 4.76 was meant: check it

# What can't be, and what to check.
conversion-dry-above-wet = { $dry } of dry matter in { $wet } fed. Check the moistures of what was fed
conversion-residue-above-fed = residue holds { $residue } of dry matter, { $fed } was fed. Check weight and moisture of the residue, and that every night's feed and any bedding is written down
conversion-gain-above-gone = larvae gained { $gain } of dry matter, only { $gone } is gone from the feed. Check moisture of larvae and residue, and that every night's feed is written down
conversion-nothing-gained = larvae gained { $gain } of dry matter. Check weight, moisture and count of the larvae, and the start weight
conversion-more-larvae = { $dead ->
    [0] { $ended } larvae harvested, { $began } put on trays. Check the start count, and count a larger sample
   *[other] { $ended } larvae harvested and { $dead } seen dead, { $began } put on trays. Check the start count, and count a larger sample
}
conversion-protein-above-dry = protein of the larvae comes to { $pct } % of their dry matter. Check the nitrogen, which is in % of dry matter, and the factor

# The figures of conversion. F is dry matter fed, R dry matter in the residue, B dry matter gained, N a count, t days.
metric-name = { $metric ->
    [substrate_reduction_pct] substrate reduction
    [waste_reduction_index] waste reduction index
    [bioconversion_pct] bioconversion rate
    [digested_conversion_pct] conversion of digested feed (ECD)
    [fcr_dry] feed conversion ratio, dry
    [fcr_fresh] feed conversion ratio, fresh
    [survival_pct] survival
    [protein_conversion_pct] protein conversion
   *[metabolised_pct] metabolised
}
metric-definition = { $metric ->
    [substrate_reduction_pct] share of the dry matter fed that is not in the residue
    [waste_reduction_index] substrate reduction for each day. A plain percentage of reduction is sometimes published under this name and is not divided by days
    [bioconversion_pct] dry matter the larvae gained over all that was put on trays, of the dry matter fed. Larvae that died count as weight lost
    [digested_conversion_pct] dry matter the larvae gained, of the dry matter that is gone
    [fcr_dry] dry matter fed for a kilogram of dry matter gained
    [fcr_fresh] feed as fed for a kilogram of fresh larvae harvested. The weight larvae began with is left in
    [survival_pct] larvae harvested of the larvae put on trays
    [protein_conversion_pct] protein in the dry matter gained, of the crude protein fed. Larval protein is nitrogen times the factor printed. What larvae began with is taken to hold as much of it as what they ended with
   *[metabolised_pct] dry matter fed that is neither in the residue nor in the gain: what left as gas, with every error of the weights in it
}
metric-equation = { $metric ->
    [substrate_reduction_pct] (F - R) / F x 100
    [waste_reduction_index] (F - R) / F / t x 100
    [bioconversion_pct] B / F x 100, B = dry larvae - N start x start weight
    [digested_conversion_pct] B / (F - R) x 100
    [fcr_dry] F / B
    [fcr_fresh] wet feed / wet larvae
    [survival_pct] N end / N start x 100
    [protein_conversion_pct] B x N share x factor / protein fed x 100
   *[metabolised_pct] (F - R - B) / F x 100
}
metric-basis = { $metric ->
    [substrate_reduction_pct] dry matter
    [waste_reduction_index] dry matter
    [bioconversion_pct] dry matter
    [digested_conversion_pct] dry matter
    [fcr_dry] dry feed, dry larvae
    [fcr_fresh] feed as fed, larvae as harvested
    [survival_pct] count
    [protein_conversion_pct] dry matter
   *[metabolised_pct] dry matter, by balance
}
metric-unit = { $metric ->
    [substrate_reduction_pct] %
    [waste_reduction_index] % a day
    [bioconversion_pct] %
    [digested_conversion_pct] %
    [fcr_dry] kg/kg
    [fcr_fresh] kg/kg
    [survival_pct] %
    [protein_conversion_pct] %
   *[metabolised_pct] %
}
