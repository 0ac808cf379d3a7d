# El dinero de un mes, para quien dirige la granja.
money-title = Dinero, { $month } ({ $currency })
money-none = Este mes no tiene dinero anotado, ni entradas ni salidas.
money-left = Entró { $income }, salió { $cost }: quedan { $profit }.
money-loss = Entró { $income }, salió { $cost }: pérdida de { $loss }.
money-weights = Larvas cosechadas: { $larvae }; recibido: { $taken_in }.
money-unpriced = { $weight } de { $stream } comprado no tiene precio, ni en sus tickets ni en la tabla de materiales. El costo sale más bajo por eso.
money-cohort-rule = El costo de una cohorte es lo que la nombra y el alimento comprado de sus comidas. Del resto lleva una parte, según el peso fresco cosechado en el mes (nuestra regla; las partes suman al centésimo).
money-cohort-unpriced = { $cohort }: parte del alimento comprado que comió no tiene precio. Su costo sale más bajo por eso.
money-nothing-yet = Aún no hay dinero anotado. Ahora: trayful money add labour --minutes 90 --rate 18.00 --what feeding
money-drying-unknown = No se sabe cuántas larvas frescas llevaron las secas: ninguna cosecha del mes tiene prueba de humedad de sus larvas.
money-drying = Secado: (100 - { $fresh }) / (100 - { $dried }) = { $share } de secas por una de frescas. Así, las { $sold } vendidas secas llevaron { $took } frescas (secadas al { $dried } %: nuestro valor por defecto si --dried-moisture no dice otro).
money-in = entra
money-out = sale
money-of-it = cuánto
money-gate-fees = tarifas de entrada
money-sold = { $product ->
    [live] vendido, vivas
    [dried] vendido, secas
   *[frass] vendido, frass
}
cost = { $cost ->
    [bought-feed] alimento comprado
    [labour] trabajo
    [energy] energía
    [packaging] envases
    [disposal] eliminación
   *[other] otros
}
money-breakeven = Lo que cuestan las larvas, y dónde no se gana ni se pierde
money-figure = { $name }: { $sum }
money-no-figure = { $name }: sin cifra, { $why }
money-gross-cost = Costo, todo
money-net-cost = Costo menos tarifas de entrada y frass
money-price = { $product ->
    [live] Precio de equilibrio, vivas
    [dried] Precio de equilibrio, secas
   *[frass] Precio de equilibrio, frass
}
money-gate-fee = Tarifa de entrada de equilibrio
money-throughput = Producción de equilibrio
money-a-unit = { $sum } = { $value } por { $unit }
money-at-least = { $sum } = al menos { $value } por { $unit }
money-a-short-ton = { $sum } x 2000 = al menos { $value } por tonelada corta (2000 lb)
money-a-month = { $brings }; { $fixed } al mes / { $contribution } = { $value } { $unit } al mes
money-assumption = Los pesos son frescos, como se cosechó o se recibió. Un supuesto: costos { $fixed } (nuestro valor por defecto si no se cambia con --fixed).
fixed = tomados como fijos: { $parts }
fixed-part = { $cost ->
    [bought-feed] alimento comprado
    [labour] trabajo
    [energy] energía
    [packaging] envases
    [disposal] eliminación
   *[other] otros
} { $pct } %
no-figure-no-larvae = no se cosecharon larvas
no-figure-not-sold = { $product ->
    [live] no se vendió nada vivo
    [dried] no se vendió nada seco
   *[frass] no se vendió frass
}
no-figure-nothing-taken-in = no se recibió ninguna carga
no-figure-no-span = el tiempo no tiene duración
no-figure-no-contribution = más larvas no ayudarían: { $sum }
money-turning = Cualquiera de estas cosas acabaría con la pérdida
money-not-enough = No basta por sí solo: { $levers }.
move-not-enough = { $lever }: no basta por sí solo
move-there-already = { $lever }: ya está
move-down = { $lever }: baja un { $pct } %
move-up = { $lever }: sube un { $pct } %
lever-price = { $product ->
    [live] precio de las larvas vivas
    [dried] precio de las larvas secas
   *[frass] precio del frass
}
lever-larvae-yield = larvas con el mismo alimento
lever-throughput = producción
lever-cost = { $cost ->
    [bought-feed] costo del alimento comprado
    [labour] costo del trabajo
    [energy] costo de la energía
    [packaging] costo de los envases
    [disposal] costo de la eliminación
   *[other] otros costos
}
lever-all-costs = todos los costos
money-bars = Qué hace a la ganancia subir cada cosa un 10 % ({ $currency })
money-bars-drawn = Una barra por cada cosa: cuánto sube o baja la ganancia si solo ella sube una décima parte. Si baja una décima parte, pasa lo contrario.
money-change = cambio de la ganancia
money-rest = resto
money-cost-a-unit = costo por { $unit }
caution-drying = Cuidado: las reglas locales dicen como qué se venden las larvas secas, cómo se calientan y cuán secas han de estar. En EE. UU. las larvas secas para alimento animal pueden tener como mucho 10 % de humedad (AAFCO T60.117(C), leído en una copia traducida). Las secadoras causan incendios: no las deje solas.
caution-sale = vender larvas o frass puede requerir registro, tratamiento térmico, secado y etiquetas; su autoridad local dice cuáles. Apunte quién lo compró: una retirada se guía por ello.
paid-sum = { $told } a { $rate } { $unit ->
    [hour] la hora
   *[kwh] el kWh
}{ $from ->
    [last] , como la última vez
   *[now] { "" }
}
