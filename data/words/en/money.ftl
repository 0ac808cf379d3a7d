# A month's money, for the owner.
money-title = Money, { $month } ({ $currency })
money-none = No money in or out is written down for this month.
money-left = In { $income }, out { $cost }: { $profit } left over.
money-loss = In { $income }, out { $cost }: { $loss } loss.
money-weights = Larvae harvested: { $larvae }; taken in: { $taken_in }.
money-unpriced = { $weight } of bought { $stream } has no price, on its tickets or in the stream table. The cost is too low by that.
money-cohort-rule = A cohort's cost is what names it and the bought feed in its meals. Of the rest it bears a share, by fresh weight harvested in the month (our rule; shares add up to the hundredth).
money-cohort-unpriced = { $cohort }: some bought feed it ate has no price. Its cost is too low by that.
money-nothing-yet = No money is written down yet. Next: trayful money add labour --minutes 90 --rate 18.00 --what feeding
money-drying-unknown = How much fresh larvae the dried ones took is not known: no harvest of the month has a moisture test of its larvae.
money-drying = Drying: (100 - { $fresh }) / (100 - { $dried }) = { $share } dried of one fresh. So the { $sold } sold dried took { $took } fresh (dried to { $dried } %: our default unless --dried-moisture says it).
money-in = in
money-out = out
money-of-it = how much
money-gate-fees = gate fees
money-sold = { $product ->
    [live] sold, live
    [dried] sold, dried
   *[frass] sold, frass
}
cost = { $cost ->
    [bought-feed] bought feed
    [labour] labour
    [energy] energy
    [packaging] packaging
    [disposal] disposal
   *[other] other
}
money-breakeven = What larvae cost, and where you break even
money-figure = { $name }: { $sum }
money-no-figure = { $name }: no figure, { $why }
money-gross-cost = Cost, all of it
money-net-cost = Cost less gate fees and frass
money-price = { $product ->
    [live] Break-even price, live
    [dried] Break-even price, dried
   *[frass] Break-even price, frass
}
money-gate-fee = Break-even gate fee
money-throughput = Break-even throughput
money-a-unit = { $sum } = { $value } a { $unit }
money-at-least = { $sum } = at least { $value } a { $unit }
money-a-short-ton = { $sum } x 2,000 = at least { $value } a short ton
money-a-month = { $brings }; { $fixed } a month / { $contribution } = { $value } { $unit } a month
money-assumption = Weights are fresh, as harvested or as received. An assumption: costs { $fixed } (our default unless set with --fixed).
fixed = taken as fixed: { $parts }
fixed-part = { $cost ->
    [bought-feed] bought feed
    [labour] labour
    [energy] energy
    [packaging] packaging
    [disposal] disposal
   *[other] other
} { $pct } %
no-figure-no-larvae = no larvae were harvested
no-figure-not-sold = { $product ->
    [live] nothing was sold live
    [dried] nothing was sold dried
   *[frass] no frass was sold
}
no-figure-nothing-taken-in = no load was taken in
no-figure-no-span = the time has no length
no-figure-no-contribution = more larvae would not help: { $sum }
money-turning = Any one of these would end the loss
money-not-enough = Not enough alone: { $levers }.
move-not-enough = { $lever }: not enough alone
move-there-already = { $lever }: there already
move-down = { $lever }: down by { $pct } %
move-up = { $lever }: up by { $pct } %
lever-price = { $product ->
    [live] price of live larvae
    [dried] price of dried larvae
   *[frass] price of frass
}
lever-larvae-yield = larvae from the same feed
lever-throughput = throughput
lever-cost = { $cost ->
    [bought-feed] cost of bought feed
    [labour] cost of labour
    [energy] cost of energy
    [packaging] cost of packaging
    [disposal] cost of disposal
   *[other] cost of other
}
lever-all-costs = all costs
money-bars = What a rise of 10 % of each does to profit ({ $currency })
money-bars-drawn = One bar for each input: how much profit rises or falls when that input alone rises by a tenth. A fall by a tenth does the opposite.
money-change = change of profit
money-rest = rest
money-cost-a-unit = cost a { $unit }
caution-drying = Caution: local rules say what dried larvae may be sold as, how they are heated and how dry they must be. In the US, dried larvae for feed may hold at most 10 % moisture (AAFCO T60.117(C), read in a translated copy). Dryers start fires: stay with them.
caution-sale = selling larvae or frass may need registration, heat treatment, drying and labels; your local authority says which. Write down who bought it: a recall goes by it.
paid-sum = { $told } at { $rate } { $unit ->
    [hour] an hour
   *[kwh] a kWh
}{ $from ->
    [last] , the rate of the last time
   *[now] { "" }
}
