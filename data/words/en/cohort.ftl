# Larvae on their trays.
cohort-added = Cohort { $cohort } on { $trays } trays: { $larvae } larvae, hatched { $day }
cohort-ended = Cohort { $cohort } ended: { $why }
cohorts-title = Cohorts, night of { $night }
cohorts-count = { $cohorts ->
    [one] { $cohorts } cohort
   *[other] { $cohorts } cohorts
} on { $trays ->
    [one] { $trays } tray
   *[other] { $trays } trays
}
cohorts-none = No larvae on trays.
cohorts-next = Next: trayful cohort add NAME --hatched DAY --larvae N --trays N --tray-area 60x40cm
cohort-day = day
cohort-stage = stage
cohort-larvae = larvae
cohort-trays = trays
cohort-per-cm2 = larvae per cm²
cohort-fed = fed
cohort-not-fed = not fed
cohort-daily = daily
cohort-once = once
cohort-every = every { $nights } nights
cohort-tonight = { $plan }, tonight
cohort-next-night = { $plan }, next { $night }
cohort-no-more = no more

# A harvest, as it is written down.
harvest-title = Cohort { $cohort }: { $larvae } of larvae
harvest-last = Cohort { $cohort } is off its trays.
harvest-residue-back = What was left counts as back on the trays. Weigh it with a later part of the harvest.
harvest-no-count = No count: survival and start weight can't be told. Next time: --sample 100=15.2 (a hundred larvae and their grams).
harvest-next = What it made of its feed: trayful harvest r{ $cohort }. To strike it: trayful strike r{ $seq } --why REASON
harvest-next-last = What it made of its feed: trayful harvest r{ $cohort }. To strike it: trayful strike r{ $seq } --why REASON (and r{ $end }, which ended the cohort)

# Stages of the shipped table; a farm's own are called as it calls them.
stage-called = { $what ->
   *[other] { $what }
}
