# How well a figure is supported.
evidence = { $key ->
    [seen] seen in the source
    [seen-secondhand] seen as quoted elsewhere
    [derived] derived from seen figures
    [memory] from memory, unverified
    [common-practice] common practice, no source
    [our-default] our default
    [taken-over] taken from the stream it is like
   *[own] farm's own
}
measure = { $key ->
    [moisture_pct] moisture
    [protein_dm_pct] protein
    [fat_dm_pct] fat
    [fibre_dm_pct] fibre
    [lignin_dm_pct] lignin
    [ash_dm_pct] ash
    [nfc_dm_pct] non-fibre carbohydrate
   *[other] { $name }
}

# The stream table.
streams-title = Streams
streams-count = { $fed } of { $all } streams may be fed here
streams-no-book = No daybook here: verdicts by composition alone, no rule on use asked.
streams-for = For larvae as { $larvae } in { $region }. Rules on use are a dated summary: check with your local authority.
streams-class = class
streams-protein = protein % DM
streams-fat = fat % DM
streams-fibre = fibre % DM
streams-ash = ash % DM
streams-keeps = keeps, days
streams-composition = composition
streams-stands-in = { $composition }, stands in
streams-basis = DM: of dry matter; moisture is wet basis; `-` is unknown, not zero. Fibre is what each source measured (total dietary fibre, NDF or crude fibre): see `trayful streams STREAM`. The windows they are held to, and what these are drawn from: `trayful stages`.
streams-labels = The label is of the composition, the weakest of its figures. Of { $all } keeping times { $keeping } are our default; of the spreads { $derived } are derived and { $ours } our default. "Stands in": the figures are of another part or kind. `trayful streams STREAM` labels each figure.
streams-taken-as = “{ $word }” means this stream: `weigh` takes it as { $stream }.
streams-several = “{ $word }” can be each of these
streams-near = Nothing is called “{ $word }”; what comes near
streams-name-one = `weigh` picks none of them by itself. Name the one you mean, such as --stream { $stream }.

# One stream.
stream-title = { $name } ({ $id }), class { $class }
stream-stand-in = figures of { $of } stand in for { $part }
stream-stands-in = Stands in: { $stand_in }.
stream-source = Source ({ $evidence }): { $citation }
stream-source-own = Source: { $source }
figure = figure
figure-value = value
figure-spread = ± one sd
figure-is = figure is
figure-spread-is = spread is
figure-moisture = moisture, wet basis
figure-of-dry-matter = { $measure }, of dry matter
figure-reckoned = reckoned
figure-tested = tested
figure-unknown = unknown
figure-carbon-to-nitrogen = C:N by weight
figure-density = bulk density
figure-inedible = { $kind }, of the weight as fed
figure-keeps = keeps, ambient
figure-days = { $days } days
figure-price = price a kg
figure-own = the farm's own

# The stages and their windows.
stages-title = Stages and their windows
stages-windows = Windows are preferred ranges, limits are hard. Nothing seen shows that larvae convert better inside the windows than outside; they keep feed to what larvae were reared on.
stages-stage = { $name }, day { $from } to { $to }
stages-compared = What was compared
stages-measure = measure
stages-study = study
stages-result = compared, and what came of it
stages-all = all together
stages-no-n = not told
stages-found = { $compared }: { $result } ({ $evidence })
stages-no-study = This stage table names no study.
stages-none-found = No study was found for: { $measures }.
stages-window = window
stages-limit = limit
stages-from = from
range-from = from { $bound }
range-to = to { $bound }
caution-density = `{ $id }`: bulk density { $own } kg/m3 in the farm's table against { $known } in the shipped one, { $times }-fold; weigh one full bucket of known volume
limit-of = { $label ->
    [our-default] our default
   *[stage-table] set in the stage table
}
stream-source-like = Source: like { $stream }, your own
stream-own-kept = Kept as r{ $seq }. `weigh` takes it from now on. To strike it: trayful strike r{ $seq } --why REASON
