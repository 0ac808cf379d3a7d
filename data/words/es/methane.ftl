# Metano que un vertedero no soltó.
methane-heading = Metano de vertedero evitado, si los destinos anteriores son ciertos
methane-former-outlet = destino anterior
methane-dry = materia seca
methane-all-years = kg CH4, todos los años
methane-carbon = kg CO2e, todos los años
methane-first-year = kg CH4, primer año de descomposición
methane-not-landfilled = 0: no iba al vertedero
methane-outlet-unknown = sin cifra: destino desconocido
methane-law = no se reclama: la ley obliga a desviar
methane-no-weight = sin cifra: nada desviado
methane-see-below = sin cifra: vea abajo
methane-outlet = { $outlet ->
    [landfill-managed] vertedero controlado
    [landfill-semi-aerobic] vertedero semiaerobio
    [landfill-semi-aerobic-poor] vertedero semiaerobio mal llevado
    [landfill-aerated] vertedero aireado
    [landfill-aerated-poor] vertedero aireado mal llevado
    [dump-deep] basurero hondo
    [dump-shallow] basurero poco hondo
    [landfill-unsorted] vertedero, tipo desconocido
    [animal-feed] alimento para animales
    [compost] compost
   *[unknown] desconocido
}
methane-climate = { $climate ->
    [temperate-dry] templado, seco
    [temperate-wet] templado, húmedo
    [tropical-dry] tropical, seco
   *[tropical-wet] tropical, húmedo
}
methane-left-out = Sin cifra para { $supplier }: { $streams }.
methane-left-out-stream = { $stream } { $kg } kg ({ $why })
methane-not-in-table = no está en la tabla de materiales
methane-woody = leñoso
methane-mineral = mineral
methane-dry-unknown = materia seca desconocida
methane-lifetime = Es de toda la vida de un vertedero, no de este año. Con k = { $k } al año ({ $climate }), el { $shares } % se descompone en 1, 5, 10 y 20 años.
methane-inputs = Descomposición de primer orden de las Directrices del IPCC de 2006, vol. 5, cap. 3, con valores de las Directrices y del Refinamiento de 2019 vistos en una implementación abierta: carbono degradable de { $carbon_low } a { $carbon_high } de la materia seca (2006, tabla 2.4, residuos de alimentos), materia seca de cada material según la tabla, DOCf de 0.49 a 0.91, F 0.5, oxidación de 0 a 0.1 donde hay control, del { $captured_low } al { $captured_high } % del gas captado{ $is_default ->
    [true] {" "}(nuestro valor por defecto)
   *[false] {""}
}, nada de un basurero abierto. { $gwp }.
methane-ar5 = GWP-100 del metano 28 (IPCC AR5)
methane-ar6 = GWP-100 del metano no fósil 27.0 (IPCC AR6)
methane-no-offset = Es una estimación, no una compensación. No se descuentan la energía, el transporte ni los residuos de la granja. Proveedor y granja no deben reclamarlo a la vez.
