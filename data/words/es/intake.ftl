# Dictámenes sobre una carga en la recepción, con sus razones.
flag-barred = prohibido para las larvas de esta granja ({ $of })
flag-too-late = { $reason }; ya es tarde para rechazarlo
flag-ask-first = permitido solo con condiciones para las larvas de esta granja ({ $of })
flag-all-inedible = solo { $kind }, que las larvas dejan
flag-part-inedible = cerca del { $pct } % del peso es { $kind }, que las larvas dejan
flag-may-hold = puede traer { $kind }, nadie sabe cuánto: mire
flag-feed = se puede dar
flag-woody = carbono leñoso por su clase: las larvas lo dejan
flag-lignin = lignina { $pct } % de la materia seca, más de { $most } % ({ $label })
flag-carbon-to-nitrogen = C:N { $ratio }, más de { $most } ({ $label })

# Lo que dicen las reglas de uso.
use-allowed = por lo común permitido, con registros
use-ask-first = con condiciones, pregunte primero
use-barred = por lo común prohibido
use-leave = permiso dado por { $who } el { $day } para: { $what }
rule-origin = { $year ->
    [undated] fuente sin fecha
    [none] lectura nuestra
   *[other] fuente de { $year }
}; recopilado { $compiled }
use-note = { $lead } ({ $origin }): { $reason }
use-note-and-check = { $lead } ({ $origin }): { $reason } Consulte a su autoridad local.

# Dónde se deja una carga.
put = { $verdict ->
    [feed] existencias de alimento, lo más viejo delante
    [pick-out] mesa de apartar: aparte las partes y péselas, luego a existencias
    [ask-first] sitio de espera, marcado PREGUNTAR ANTES, lejos de las existencias
    [compost] pila de compost, no a existencias de alimento
   *[refuse] queda cerrado con el proveedor; no lo vuelque
}

# Cuidados con una carga entera que se rechaza; práctica común, sin fuente.
refused-load = { $what ->
    [glass] Cortantes: no meta la mano; use guantes anticorte y herramienta, y deje cerrado el cubo entero.
    [chemicals] Químicos: no vacíe, no huela ni mezcle; téngalo cerrado y siga sus reglas locales de residuos peligrosos.
    [sanitary] Residuos sanitarios: guantes, téngalo cerrado, lávese las manos; siga sus reglas locales de salud.
    [medicated] Con medicamento o tratado: las larvas y quien las coma pueden llevarlo adelante; no lo acepte y pregunte a su autoridad.
    [putrid] Podrido: no huela dentro del cubo; en cuartos y cubos cerrados se juntan gases; ábralo al aire libre.
   *[mouldy] Con moho: no lo huela ni lo sacuda; téngalo cerrado, lejos del alimento y de la comida.
}

# Qué hacer con un lote; el letrero lleva la misma palabra en letras grandes.
flag = { $verdict }: { $reason }
verdict = { $verdict ->
    [feed] dar de comer
    [pick-out] apartar partes
    [ask-first] preguntar antes
    [compost] compostar
   *[refuse] rechazar
}
sign = { $verdict ->
    [feed] DAR DE COMER
    [pick-out] APARTAR PARTES
    [ask-first] PREGUNTAR ANTES
    [compost] COMPOSTAR
   *[refuse] RECHAZAR
}

# Por qué una mezcla no puede usar un lote.
lot-too-old = demasiado viejo: { $age } días, fuera después de { $usable } ({ $times } x su tiempo de conservación, { $label }) si nadie lo mira
lot-not-fit = no apto esta noche, dice { $who }: { $note }
no-reason-given = sin razón dada
lot-stream-unknown = su material no está en la tabla
lot-parts-picked-out = partes apartadas
lot-picked-out = { $kinds }: apartado
lot-moisture-unknown = humedad desconocida: mídala con `lot LOT test` o póngala en la tabla
lot-analyte-unknown = { $analyte } desconocido, y `{ $group }` tiene un margen para ello
lot-measure-unknown = { $analyte } desconocido, y `{ $group }` tiene un margen para { $measure }
lot-density-unknown = densidad desconocida, y `{ $group }` tiene un volumen
lot-group-gets-none = `{ $group }` no recibe de esto
lot-too-little = queda muy poco para pesar: échelo con la mezcla o al compost

# Lo que se vio en la recepción, y cuidados con una carga.
decided-at-dock = decidido en la recepción
dock-picked-out = { $kinds }: apartado en la recepción
dock-looked = mirado, no se vio { $kind }
caution-leave-first = ninguna hoja lo usa antes de que el permiso esté en el libro. Pregunte a la autoridad local. Cuando diga que sí, el dueño escribe en la terminal: trayful allow { $stream } --by-whom QUIÉN --on DÍA --for QUÉ
caution-taken-as = «{ $word }» se anota como { $stream } ({ $name }, clase { $class }). Si es otra cosa, corrija el tique.
weigh-may-be = «{ $word }» puede ser:
weigh-may-be-one = { $number }  { $id } ({ $class }): { $name }
weigh-no-such = Nada se llama «{ $word }». `trayful streams` muestra lo que hay.
caution-refused = { $what } Práctica común, sin fuente.
caution-lift = use un carro o dos personas. { $weight } pasa de 23 kg (51 lb), lo máximo para levantar de una vez en condiciones ideales (constante de carga de NIOSH).
caution-few-divisions = el neto es menos de { $smallest }, 20 divisiones de la báscula: el propio paso de la báscula es buena parte de él.
caution-estimated = peso estimado por el volumen: las densidades publicadas de residuos de comida difieren cuatro veces, y cada informe lo dice.
stream-verdict = Veredicto: { $flag }
flag-own = lo dice la granja de este material
flag-not-listed = nadie ha dicho aún qué es: pregunte al dueño
caution-not-listed = espera, marcado, lejos del pienso. El dueño lo mira y corrige el tique; entonces se podrá dar.
caution-barred = se lo lleva quien lo trajo. Solo la autoridad local puede permitirlo. El dueño pregunta allí y escribe la respuesta en las reglas de uso de la granja.
