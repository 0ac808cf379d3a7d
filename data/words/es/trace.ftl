# Adónde fue una carga, o qué se dio a las larvas; y la hoja para actuar.
trace-title = Rastreo de { $subject }
recall-title = Hoja de retirada: { $subject }
trace-reached = { $lots ->
    [one] { $lots } lote
   *[other] { $lots } lotes
}, { $cohorts ->
    [0] aún sin darse a ninguna cohorte
    [one] dado a { $cohorts } cohorte
   *[other] dado a { $cohorts } cohortes
}, { $harvests ->
    [one] { $harvests } cosecha
   *[other] { $harvests } cosechas
}, { $sales ->
    [one] { $sales } venta
   *[other] { $sales } ventas
}; aún en existencias: { $weight }.
trace-tickets = { $count ->
    [one] tique
   *[other] tiques
} { $names }
trace-supplier = proveedor { $name }
trace-of-buyer = comprador { $name }
trace-cohort = cohorte { $cohort }
trace-harvest-of = cosecha r{ $seq } de la cohorte { $cohort }
trace-issued = { $issuer }, según el libro el { $at }
trace-the-farm = la granja
trace-newest-cohort = La cohorte más nueva de ese nombre, r{ $seq }. Las anteriores van por su registro: { $older }.
trace-up-to-harvest = No se cuenta lo que la cohorte comió en noches después de esta cosecha. Una venta nombra una cohorte, no una cosecha: van todas las ventas de la cohorte.
trace-sales-untraced = Ventas a { $name } que no nombran cohorte, así que no se puede rastrear nada desde ellas: { $records }.
trace-who-ate = Quién comió de ello
trace-whose-feed = De quién fue el alimento
trace-went-in = Qué se les dio
trace-by-night = Noche por noche
trace-harvests = Cosechas
trace-sales = Ventas
recall-what = Qué se retira
recall-on-trays = 1. Aún en bandejas: no les dé más de ello, no venda nada de ellas
recall-taken-off = 2. Ya cosechado: retenga lo que siga en el almacén
recall-gone = Acabaron, y desde entonces no hay cosecha anotada; pregunte adónde fueron: { $cohorts }
recall-buyers = 3. Compradores a los que avisar: quién recibió qué, y cuándo
recall-on-hand = 4. En existencias: apártelo, márquelo, no dé nada de ello
recall-left = 5. Salió de otra manera
recall-went-in = 6. Qué se les dio
recall-own = lo que se retira
recall-eaten = comieron de ello
recall-alike = mismo proveedor y material
recall-whom-to-tell = A quién avisar, con qué prisa y con qué palabras lo dice su autoridad local: llámela antes de darlo por hecho.

# Sus tablas.
trace-touched = tocó
trace-another-way = otra salida
trace-way = salida
trace-ate = comió de ello
trace-ate-in-all = comió en total
trace-nights = noches
trace-now = ahora
trace-its-share = su parte
trace-share-pct = parte %
trace-harvest = cosecha
trace-buyer = comprador
trace-product = producto
trace-paid = pagado
trace-on-trays-then = en bandejas entonces
trace-more-rows = ... y { $more } filas más; `--csv` las da todas.
trace-no-ticket = Ningún tique.
trace-none-left = Nada salió de otra manera.
trace-no-cohort = Ninguna cohorte.
trace-none-fed = No se le dio nada.
trace-none-since = Nada anotado desde que comieron de ello.
trace-none-then = ninguna cohorte
trace-not-said = no se dijo
trace-nothing-else = nada más
trace-under = menos de { $number }
trace-bought-that-night = comprado esa noche
trace-on-trays = en { $trays } bandejas
trace-ended = acabó { $day }: { $why }
trace-others = Otras cohortes que comieron de los mismos lotes: { $cohorts }. Si se sospecha de un lote: `trayful recall LOTE`.
trace-before = No se cuentan, por ser de antes del día en que alguna de estas cohortes comió de ello: { $records }.
product = { $item ->
    [sold-live] larvas vivas
    [sold-dried] larvas secas
    [sold-frass] frass
   *[other] { $item }
}

# Lo que nadie sabe, y lo que dicen las reglas.
trace-ask = Lo que el libro no dice: pregunte
trace-whose-unknown = Dado a un grupo al que no le tocaba a ninguna cohorte del libro, así que no se sabe quién lo comió; pudo ser cualquiera de las que estaban en bandejas:
trace-no-cohort-sales = Ventas desde la primera de estas comidas que no nombran cohorte; cualquiera puede ser de estas larvas:
trace-rules = Lo que dicen ahora las reglas de uso
trace-larvae = las larvas que comieron de ello
trace-lot = lote { $lot } ({ $stream } de { $supplier })
trace-bought = { $stream } comprado la misma noche
trace-classes = Para { $whose }; clases que se les dieron: { $classes }
trace-use = { $larvae_for }{ $own ->
    [true] { " " }(el uso de esta granja)
   *[false] { "" }
}: { $what }
trace-rule = { $ruling ->
    [allowed] permitido
    [ask] preguntar
   *[barred] prohibido
}, por { $of }: { $reason } [{ $source }, { $origin }]
trace-brought-in-by = Lo trajo { $by }
trace-class-unknown = No está en la tabla de materiales, así que no se sabe su clase ni lo que prohíbe: { $streams }
trace-strictest = Las larvas llevan toda su vida la clase más estricta de lo que comieron: sus usos posibles bajan, nunca suben. Las reglas son un resumen con fecha, de fuentes secundarias, y no son consejo legal; consulte a su autoridad local.
trace-shared-group = Un grupo come como uno solo: se dice cada cohorte a la que le tocaba en un grupo que recibió algo, ninguna se calla porque su parte sea pequeña. Los pesos van por partes: el peso del grupo según la materia seca que la tabla de fases pide para cada cohorte (nuestra regla, como en la hoja de la noche), al gramo.
trace-whole-weight = Una venta nombra cohortes y no cuánto pesó lo de cada una, así que se dice su peso entero.
