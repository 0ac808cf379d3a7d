# A new book, and the farm's settings.
begin-title = Daybook { $file } begun
begin-mark = Numbers have a decimal { $mark ->
    [point] point
    [comma] comma
   *[other] { $mark }
}. If the scale shows another mark: trayful farm --decimal-mark MARK
begin-rules = Rules on use are a dated summary; what may be fed to larvae is for your local authority to say.
begin-seal = Book seal { $seal }
farm-title = Farm of { $file }
farm-line = { $zone }, scale in { $division }, { $currency }, larvae for { $larvae } in { $region }
farm-statements = On statements: { $name }; scale { $scale }; diverted by the rule `{ $rule }`
farm-no-name = no name said
farm-scale-verified = verified ({ $why })
farm-scale-not-verified = not verified
farm-defaults = Mixes by our defaults (`trayful farm --help` lists what a farm may choose)
farm-chosen = The farm's own choice: { $chosen }; all else by our defaults
choice-mark = numbers with a decimal { $mark ->
    [point] point
    [comma] comma
   *[other] { $mark }
}
choice-sure = windows { $sure } % sure
choice-smallest = no draw below { $weight }
choice-most-lots = at most { $most } lots a group
choice-water = water: { $water ->
    [last-resort] last-resort
    [never] never
   *[other] { $water }
}
choice-small-scale = a small scale of { $division } up to { $most }
choice-first-stage = { $stage } fed first when short
choice-language = answers in { $language ->
    [es] Spanish
   *[en] English
}
farm-container = container
farm-holds = holds

# Money written down.
paid-in = { $item }: { $amount } { $currency } in
paid-out = { $item }: { $amount } { $currency } out
paid-reckoned = Reckoned: { $reckoned }.
paid-next = The month's money: trayful money.

# A proposal taken over.
take-title = { $key }: taken over
take-evidence = On the evidence: { $evidence }.
take-next = Stock, mix and nights ahead reckon with it from now on. To go back: trayful strike r{ $seq } --why REASON
