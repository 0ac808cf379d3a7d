# Methane a landfill did not give off.
methane-heading = Landfill methane avoided, if the former outlets are right
methane-former-outlet = former outlet
methane-dry = dry matter
methane-all-years = kg CH4, all years
methane-carbon = kg CO2e, all years
methane-first-year = kg CH4, first year of decay
methane-not-landfilled = 0: was not landfilled
methane-outlet-unknown = no figure: outlet not known
methane-law = no claim: diversion is the law
methane-no-weight = no figure: nothing diverted
methane-see-below = no figure: see below
methane-outlet = { $outlet ->
    [landfill-managed] landfill, managed
    [landfill-semi-aerobic] landfill, semi-aerobic
    [landfill-semi-aerobic-poor] landfill, semi-aerobic, poorly managed
    [landfill-aerated] landfill, aerated
    [landfill-aerated-poor] landfill, aerated, poorly managed
    [dump-deep] deep dump
    [dump-shallow] shallow dump
    [landfill-unsorted] landfill, kind not known
    [animal-feed] animal feed
    [compost] compost
   *[unknown] unknown
}
methane-climate = { $climate ->
    [temperate-dry] temperate, dry
    [temperate-wet] temperate, wet
    [tropical-dry] tropical, dry
   *[tropical-wet] tropical, wet
}
methane-left-out = No figure for { $supplier }: { $streams }.
methane-left-out-stream = { $stream } { $kg } kg ({ $why })
methane-not-in-table = not in the stream table
methane-woody = woody
methane-mineral = mineral
methane-dry-unknown = dry matter not known
methane-lifetime = This is over the whole life of a landfill, not this year. With k = { $k } a year ({ $climate }), { $shares } % of it decays after 1, 5, 10 and 20 years.
methane-inputs = First-order decay of IPCC 2006 Guidelines, vol. 5, ch. 3, values of the Guidelines and the 2019 Refinement as seen in an open implementation: degradable carbon { $carbon_low } to { $carbon_high } of dry matter (2006, table 2.4, food waste), each stream's dry matter as in the stream table, DOCf 0.49 to 0.91, F 0.5, oxidation 0 to 0.1 where managed, { $captured_low } to { $captured_high } % of the gas captured{ $is_default ->
    [true] {" "}(our default)
   *[false] {""}
}, none from an open dump. { $gwp }.
methane-ar5 = GWP-100 of methane 28 (IPCC AR5)
methane-ar6 = GWP-100 of non-fossil methane 27.0 (IPCC AR6)
methane-no-offset = This is an estimate, not an offset. The farm's own energy, transport and residue are not taken off. Supplier and farm must not both claim it.
