# Lo que se vio y es poco probable.
doubt-ahead = { $at } está en el futuro (ahora es { $now })
doubt-far-from-last = { $at }, y el último registro del libro es de { $last }
doubt-clock = el reloj de esta máquina dice { $now }, y el último registro del libro se escribió a las { $last }
doubt-no-net = el peso neto es cero
doubt-density = { $weight } en { $litres } son { $density }
doubt-unusual = { $weight }, cuando lo usual es { $usual }
doubt-same-load = el mismo peso de { $stream }, { $weight }, se pesó unos minutos antes o después
doubt-alike = `{ $supplier }` es nuevo en el libro; `{ $known }` ya está
doubt-may-hold = { $stream } puede tener { $kind }, nadie sabe cuánto
doubt-off-table = { $pct } %, y la tabla tiene { $mean } ± { $spread }
doubt-second-meal = { $group } recibió { $weight } esa noche
doubt-too-old = { $lot } ({ $stream }), de { $days } días
doubt-larvae = { $larvae } larvas
doubt-crowded = { $larvae } larvas por cm2
doubt-hatched = eclosión el { $day }
doubt-larva-weight = { $mg } mg por larva
doubt-larva-weight-alive = { $mg } mg por larva si no murió ninguna
doubt-more-larvae = { $all } larvas con las cosechas de antes, de { $began }
doubt-above-feed = { $larvae } de larvas de { $fed } de comida
doubt-oversold = { $sold } vendidos de { $harvested } cosechados
doubt-night = la noche del { $night }

# Qué mirar entonces.
ask-time = ¿Es correcta la hora?
ask-year = ¿Es correcto el año?
ask-clock = ¿Va bien el reloj de esta máquina?
ask-empty = El recipiente parece vacío.
ask-tare = ¿Son correctos la tara, la unidad y el recipiente?
ask-unit-and-mark = ¿Son correctas la unidad y la coma decimal?
ask-mark-missing = Quizá falta una coma decimal.
ask-weighed-already = Quizá este balde ya se pesó.
ask-same-supplier = Si es el mismo, use el nombre del libro.
ask-parts = Mire, apártelas y anote su peso.
ask-share = La humedad va en tanto por ciento: 36, no 0,36.
ask-stream-and-test = ¿Son correctos el material y la prueba?
ask-meal-already = Quizá esta comida ya está anotada. Una mezcla pedida de nuevo dice lo que falta por dar.
ask-really-good = El olor agrio, el moho o la baba enferman a las larvas y a las personas. ¿De verdad está bueno?
ask-digits = ¿Están todas las cifras, y ninguna de más?
ask-dry-more = Séquela un minuto más y pese otra vez. Si se quema, tome el peso anterior.
ask-crowd = ¿Son correctos el número, las bandejas y la superficie?
ask-date = ¿Son correctos el día, el mes y el año?
ask-tray-unit = ¿Es correcta la unidad? 60x40cm son 0,24 m2.
ask-centimetres = ¿Está en centímetros?
ask-same-larvae = ¿Son el peso y el número de las mismas larvas?
ask-both-counts = ¿Son correctos los dos números?
ask-weight-and-cohort = ¿Son correctos el peso y la cohorte?
ask-every-harvest = ¿Es correcto el peso, y está anotada cada cosecha?
ask-fed-already = ¿Ya se dio de comer?

# Desde dónde se pregunta.
doubt-told = `{ $field }`: { $seen } ({ $bound })
doubt-bounded = { $seen } ({ $bound })
doubt-asked = { $side ->
    [always] se pregunta siempre
    [below] se pregunta por debajo de { $bound } { $unit }
   *[above] se pregunta por encima de { $bound } { $unit }
}, { $source }
doubt-still-dries = los dos últimos pesos difieren en { $loses } g, de una muestra de { $wet } g, así que puede no estar seca
doubt-drying-source = como en la prueba de forraje de Saskatchewan: secar hasta que pierda menos de 1 g
doubt-mean-weights = valor de fábrica nuestro, según pesos medios de cosecha de 38 a 220 mg (Broeckx et al. 2021; Feedipedia node 16388)
doubt-unit = { $id ->
    [entry-ahead] minutos por delante del reloj
    [entry-far-before] días antes del último registro del libro
    [entry-far-after] días después del último registro del libro
    [clock-behind] minutos antes de que se escribiera el último registro del libro
    [clock-ahead] días después de que se escribiera el último registro del libro
    [net-zero] g netos
    [net-too-dense] en un recipiente
    [load-by-hand] en una carga
    [load-unusual] veces lo que pesan las cargas de este material de este proveedor
    [load-twice] minutos desde la misma carga
    [moisture-share] % de humedad
    [sample-still-dries] g de 100 g
    [moisture-off-book] desviaciones típicas respecto a la tabla de materiales
    [lot-too-old] veces los días en que se puede usar
    [larvae-count] larvas en una cohorte
    [larvae-crowded] larvas por cm2
    [hatch-day] días de edad
    [tray-area] m2 por bandeja
    [layer-depth] cm de comida
    [larva-weight] mg por larva
    [larvae-more] veces las que tenía la cohorte al empezar
    [larvae-above-feed] veces la comida desde que nació la cohorte
    [sold-above-harvested] veces lo cosechado
    [fed-ahead] noches por venir
   *[none] { "" }
}
