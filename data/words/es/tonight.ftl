# En qué fijarse al mezclar.
mix-tip-whole = Vacíe entero, sin pesar: { $lots }.
mix-look-first = mire primero, pasados de tiempo: { $lots }. Al aire libre, no meta la nariz en el cubo. Bueno: `trayful lot { $one } look --fit`. Podrido o con moho: `trayful lot { $one } look --not-fit --note QUÉ`, y mezcle de nuevo.
mix-too-old = lo demasiado viejo se retiene. Si alguno sigue bueno: `trayful lot { $one } look --fit`; si no, `trayful lot { $one } discard --spoiled`.
mix-pick-out = aparte las partes antes de pesar, del lote { $lots }. Los pesos son sin ellas. Para hueso y cáscara use una herramienta y guantes anticorte.
mix-lift = una tanda entera pasa de 23 kg (51 lb), lo máximo para levantar de una vez en condiciones ideales (constante de carga de NIOSH): mezcle y lleve por partes.
mix-fed-already = ya comieron esta noche, por eso no están en esta hoja: { $groups }
mix-fed-later = no comen esta noche, según su plan: { $cohorts }

# Qué hacer ahora, y de dónde vienen las cifras.
mix-not-recorded = Sin guardar. `trayful mix` sin --look guarda la hoja para `trayful fed`.
mix-once-fed = Cuando se haya dado: trayful fed --sheet r{ $seq }, con --change LOTE=PESO para lo que se tomó de otra manera
mix-windows-all = De dónde vienen los márgenes de esta noche: todos son { $label } (`trayful stages` muestra los estudios).
mix-windows = Márgenes de { $windows }: { $label }.
mix-stand-in = { $id }: { $stand_in }.

# La mezcla: cómo está, qué queda fuera.
mix-title = La mezcla de esta noche
mix-night = noche del { $night }
mix-sheet = hoja { $name }
sheet = hoja
mix-inside = DÉ ESTO. Todas comen, y cada cifra está donde debe.
mix-inside-least = DÉ ESTO. Lo menos seguro: { $least }.
mix-nearest = MIRE ANTES. No todo se puede cumplir; esta mezcla es la más cercana.
mix-nearest-buckets = MIRE ANTES. Con cubos enteros no se cumple todo; con cubos partidos sí.
mix-none = NO DÉ NADA de estas existencias. { $because }
mix-stopped = SIN MEZCLA. Ningún resultado se pudo comprobar, por eso no se imprime ninguno: { $reason }.
mix-sure-of = { $group } { $measure }, { $chance }
out-no-feed = se queda sin alimento; necesita { $wanted } de materia seca
out-short = faltan { $off } de materia seca para { $wanted }
out-more = { $off } de materia seca más de los { $wanted } pedidos
out-of-window = { $measure } { $value }, { $points } { $side ->
    [over] por encima de
    [under] por debajo de
   *[limit] fuera del límite de
} { $bound }
out-too-wet = { $out }: demasiado húmedo, sobran { $water } de agua
out-too-dry = { $out }: demasiado seco
mix-too-coarse = la báscula muestra { $division }, demasiado basta para `{ $group }`{ $left_out ->
    [true] , por eso se queda sin alimento
   *[false] { "" }
}; { $finer ->
    [none] ni una báscula de 1 g serviría
   *[other] una que muestre { $finer } serviría
}
mix-above-cap = { $stream }: { $weight } por encima de su tope de { $pct } % ({ $allowed })
mix-above-volume = volumen { $volume }, por encima de { $limit }
mix-overdrawn = { $what }: se tomaron { $taken } g de { $there } g

# Un grupo: qué tomar, qué recibe cada bandeja, qué resulta.
mix-group = { $group } (día { $ages }, { $trays ->
    [one] { $trays } bandeja
   *[other] { $trays } bandejas
})
mix-no-feed = Sin alimento esta noche. Necesita { $wanted } de materia seca.
mix-small-scale = Pese en la báscula pequeña ({ $scale }).
mix-take = tome
mix-from-lot = del lote
mix-tip = vacíe
mix-buckets = cubos
mix-buy = comprar
mix-tap = grifo
mix-a-little = un poco
mix-pick-first = APARTE y luego pese
mix-moisture-from = humedad según { $origin }
mix-in-all = En total { $wet }, materia seca { $ration } de { $wanted } pedidos
mix-ballast = { $ballast } de cáscara, piedra y ceniza sin contar
mix-dose = Cada una de { $trays ->
    [one] { $trays } bandeja
   *[other] { $trays } bandejas
} de { $cohort } (día { $age }{ $days ->
    [1] { "" }
   *[other] , para { $days } días
}): { $weight }
mix-layer = capa de { $layer } a lo sumo, de { $most }
mix-layer-before = { $lies } de antes
mix-fills = Llena { $volume } a lo sumo
mix-fills-of = Llena { $volume } a lo sumo, de { $limit } que caben
mix-lies = de antes: el alimento desde que se quitó el último residuo, menos lo que ya se fue (valor de fábrica nuestro)
tip-whole = { $whole ->
    [one] 1 cubo
   *[other] { $whole } cubos
}
tip-own = { $rest } de su cubo
tip-rest = { $whole ->
    [0] { $rest } de un cubo
    [one] 1 cubo + { $rest } del siguiente
   *[other] { $whole } cubos + { $rest } del siguiente
}

# Avisos, las cifras, lo que queda.
mix-mind = Ojo esta noche
mix-guessed = supuesto para { $streams } en { $groups }: { $assumed } (no está en la tabla)
assumed-share = { $measure } { $pct } % de la materia seca
assumed-density = densidad { $density } kg/m3
mix-may-drip = `{ $group }` puede gotear: humedad { $pct } %; desde un 75 % sale agua al apretar un puñado
mix-not-proved = no está probado que ninguna otra mezcla sea mejor en: { $goals }
mix-goal = { $goal ->
    [0] materia seca dada
    [1] quedar dentro de los márgenes
    [2] poca agua
    [3] seguridad
    [4] usar lo que se va a estropear
    [5] costo
   *[6] parecerse a la mezcla anterior
}
mix-no-buckets = no se halló un plan en cubos enteros; los pesos son como sin `--buckets`
mix-none-before = ningún grupo de esta noche comió antes: no hay mezcla anterior a la que parecerse
mix-figures = Las cifras
mix-group-head = grupo
mix-chance = probabilidad
mix-held-back = Retenido
mix-stays = Queda
mix-stays-all = { $total }: { $lots }
mix-stays-more = { $total }: { $lots } y { $more ->
    [one] { $more } lote más
   *[other] { $more } lotes más
}
mix-more = Cifras, márgenes y lo que queda: `trayful mix --look --full`.
mix-seal = Sello del libro { $seal }. Cada cifra de arriba se calcula con los pesos impresos.
buckets-proved = Cubos enteros, uno abierto por material como mucho: { $proved }. Usa { $plan } de lo que pronto se estropea; { $free } si los cubos se pudieran partir a gusto.
buckets-near-best = a { $pct } % de lo mejor posible, como mucho
buckets-best-found = lo mejor que se halló en el tiempo dado; puede haber algo mejor

# Cuánto de seguro, y qué ayudaría.
mix-less-sure = La granja pide { $asked }. Ninguna mezcla de estas existencias es mucho más segura.
mix-test-first = Lo que más ayuda: pruebe la humedad del lote { $lot } ({ $stream }).
mix-test-gains = Lo que más ayuda: pruebe la humedad del lote { $lot } ({ $stream }): si es como en la tabla, { $to } en vez de { $from }.
mix-buy-helps = { $besides ->
    [true] O
   *[false] Lo que más ayuda:
} compre { $weight } de { $stream }: entonces { $chance }.
mix-no-chance = No se dice probabilidad donde no se conoce cuánto varía: { $what }.

# Lo que no puede ser a la vez, y qué lo arreglaría.
conflict = Con estas existencias no se puede tener todo esto. Renuncie a uno: { $demands }.
reason-all-beyond = Todo lo que se puede dar a { $group } tiene { $is ->
    [wetter] más de { $bound } de humedad. Lo más seco, { $nearest }, tiene { $value }.
    [drier] menos de { $bound } de humedad. Lo más húmedo, { $nearest }, tiene { $value }.
    [richer] más de { $bound } de { $measure }. Lo más bajo, { $nearest }, tiene { $value }.
   *[poorer] menos de { $bound } de { $measure }. Lo mejor, { $nearest }, tiene { $value }.
}
reason-too-little = Todo lo que se puede dar a { $group } tiene solo { $weight } de materia seca.
reason-nothing = No hay nada que se pueda dar a { $group }.
reason-too-coarse = La báscula muestra { $division }, demasiado basta para una mezcla tan pequeña.
reason-limits = Los límites no se pueden cumplir todos con lo que hay.
demand-feed = { $group } recibe { $side ->
    [min] todos sus
   *[max] no más de
} { $weight } de materia seca
demand-bound = { $group } { $measure } { $side ->
    [min] al menos
   *[max] a lo sumo
} { $bound }{ $is_hard ->
    [true] { " " }(límite)
   *[false] { "" }
}
demand-volume = { $group } cabe en { $volume } de bandejas
demand-cap = { $group } a lo sumo { $pct } % de { $stream }
demand-bought = comprar a lo sumo { $weight } de { $stream }
demand-water = añadir a lo sumo { $weight } de agua
cure-none = No hallamos un solo arreglo que baste.
cure-any = Cualquiera de estos basta, primero lo más barato:
cure-buy = comprar { $weight } de { $stream } ({ $price })
price-not-known = precio desconocido
price-sum = { $sum } a { $price } por { $unit }
cure-press = escurrir o prensar { $lots }; suponemos que el líquido lleva { $pct } % de sólidos
cure-press-lot = { $weight } del lote { $lot } (hasta { $pct } % de humedad)
cure-water = añadir { $weight } de agua del grifo
cure-room = poner { $group } en { $more ->
    [0] más bandejas
    [one] { $more } bandeja más
   *[other] { $more } bandejas más
} (sitio para { $to } en vez de { $from })
cure-room-or-meals = { $more_room }, o dar la comida en dos veces
cure-test = probar la humedad del lote { $lot } ({ $stream }): con { $pct } % o { $drier ->
    [true] menos
   *[false] más
} todo cabe
cure-loosen = aflojar { $windows }
cure-loosen-to = { $demand } hasta { $to }
cure-feed-less = dar menos: { $groups }
cure-feed-to = { $group } { $to } de materia seca en vez de { $from }
meal-next = { $name } (la próxima, el { $next })
meal-was-last = { $name } (ya comió por última vez)

# Para lo que no hubo tiempo.
mix-undone = Se acabó el tiempo antes de: { $undone }. La mezcla vale; en una terminal, --seconds da más tiempo.
undone-one-mix = una mezcla común para los grupos que podrían compartirla
undone-few-lines = pocas líneas
undone-buckets = un plan mejor en cubos enteros
undone-helped-by = qué la haría más segura
undone-conflicts = qué no puede cumplirse a la vez
undone-cures = qué más ayudaría
undone-worths = qué limita y cuánto vale
undone-rooms = cuánto pueden moverse los lotes
