# Un mes, o un año, para quien dirige la granja.
month-title-year = Año { $month } ({ $zone })
month-title-closed = Mes { $month } ({ $zone }), versión { $version }
month-title-draft = Mes { $month } ({ $zone }), borrador
month-issuer = { $issuer }: { $title }
month-loads = { $loads ->
    [one] { $loads } carga; rechazadas: { $refused }
   *[other] { $loads } cargas; rechazadas: { $refused }
}
month-received = Recibido { $received }, desviado { $diverted }
month-pending = { $figures ->
    [one] { $figures } cifra ha cambiado
   *[other] { $figures } cifras han cambiado
} en el libro desde que se cerró esta versión. Para hacer la siguiente: trayful month { $month } --close --why MOTIVO
month-by-supplier = Por proveedor y material
month-estimated = Del peso recibido, { $weight } se estimó por volumen y no se pesó (marcado con *).
month-where-it-went = Adónde fue
month-flw = Destinos del Estándar FLW
month-balance = Balance
month-seal = Sello del libro { $seal }.
month-draft = BORRADOR: el mes no está cerrado; las cifras aún pueden cambiar.
month-closed = Versión { $version }, cerrada el { $when } por { $who }
month-closed-why = Versión { $version }, cerrada el { $when } por { $who }: { $why }
month-same-as = Ninguna cifra difiere aquí de la versión { $before }.
month-changed-since = Cambios desde la versión { $before }
month-way = { $way ->
    [fed] dado a las larvas
    [composted] compost
    [returned] devuelto al proveedor
    [landfilled] vertedero
    [liquor] líquido escurrido
    [picked-out] partes apartadas
    [animals] otros animales
    [processing] hecho otros productos
    [digestion] digestor
    [combustion] quemado con control
    [land] esparcido en el campo
    [discards] tirado o abandonado
    [sewer] al desagüe
   *[refused] rechazado en la recepción
}

# El balance del mes.
balance-line = { $line ->
    [opening] existencias al inicio
    [received] recibido
    [bought] comprado
    [water] agua
    [fed] alimentado
    [composted] compostado
    [returned] devuelto
    [landfilled] al vertedero
    [picked-out] apartado
    [liquor] líquido escurrido
    [elsewhere] otras salidas
    [closing] existencias al final
   *[shrink] merma
}
balance-open = El balance no cuadra: { $grams } g. Use `trayful check`.
balance-closes = Lo que entra y lo que sale cuadra exactamente. La merma es lo que ningún registro explica: restos de báscula, secado, goteo.
balance-shrink = Los pasos de la báscula solos pueden explicar { $explains } de más o de menos (2u, distribución rectangular). La merma es { $shrink }: { $verdict }.
balance-by-scale = la báscula puede explicarla
balance-lost = más de lo que explica la báscula; piense en secado, goteo o algo que salió sin registro
balance-found = se encontró más de lo que explica la báscula; piense en agua absorbida o una carga que nadie pesó

# Cifras que cambiaron entre dos versiones, y los registros que las cambiaron.
changed-difference = diferencia
changed-figure = { $figure ->
    [loads] cargas
    [refused_loads] cargas rechazadas
    [opening] al inicio
    [received] recibido
    [bought] comprado
    [estimated] estimado
    [refused] rechazado
    [picked_out] apartado
    [fed] alimentado
    [composted] compostado
    [returned] devuelto
    [landfilled] al vertedero
    [liquor] líquido escurrido
    [animals] otros animales
    [processing] otros productos
    [digestion] digestor
    [combustion] quemado
    [land] al campo
    [discards] tirado
    [sewer] al desagüe
    [shrink] merma
    [closing] al final
    [bought_on_the_night] comprado en la noche
   *[water_added] agua añadida
}
correction-ticket = ticket #{ $ticket }
correction-of-ticket = corrección r{ $record } del ticket #{ $ticket }
correction-record = registro r{ $record }
correction-other-record = { $kind ->
    [fed] alimentación
    [discard] descarte
   *[reweigh] nuevo pesaje
} r{ $record }
correction-no-reason = sin motivo
correction-struck = { $what } del { $when }, anulado por { $who } el { $written }: { $why }
correction-corrected = { $what } del { $when }, corregido por { $who } el { $written }: { $why }
correction-written = { $what } del { $when }, escrito por { $who } el { $written }

# Los meses de un año.
year-draft = { $open ->
    [one] BORRADOR: { $open } de los 12 meses no está cerrado; las cifras aún pueden cambiar.
   *[other] BORRADOR: { $open } de los 12 meses no están cerrados; las cifras aún pueden cambiar.
}
year-by-month = Por mes
year-balance-by-month = Balance por mes
year-is-the-sum = Cada mes como está ahora en el libro. El año es su suma exacta.
year-empty-months = Los meses sin registros no aparecen.
year-changed = El libro ha cambiado desde que se cerraron estos meses: { $months }. Para ver los cambios: trayful month { $first }
year-closed = cierre
year-open = abierto
year-version-changed = versión { $version }, cambió después
year-all = Todo

# Para quien dirige la granja.
owner-heading = Para quien dirige la granja
owner-trend = Recibido y desviado por mes, { $unit }
owner-trend-drawn = Una línea para el peso recibido y otra para el desviado, hasta doce meses
owner-weekdays = Recibido por día de la semana, { $unit }
owner-weekdays-drawn = Una barra por día de la semana, desde el lunes
owner-top = Materiales con más peso, { $unit } recibidos
owner-top-drawn = Una barra por cada material con más peso aceptado
owner-spoiled = Perdido: el { $pct } % del alimento que salió de existencias ({ $lost } de { $all }) no fue a las larvas.
owner-nothing-left-in-month = Perdido: en el mes no salió alimento de existencias.
owner-nothing-left-in-year = Perdido: en el año no salió alimento de existencias.

# Qué cuenta como desviado.
diverted-default = Desviado = peso neto aceptado, menos las partes apartadas, menos lo que después fue a vertedero, combustión, desechos, de vuelta al proveedor o al desagüe. Lo dado a las larvas y lo compostado cuenta como desviado; lo comprado y el agua añadida no (nuestra regla por defecto).
diverted-flw = Desviado = peso que en el mes llegó a alimento para animales, biomateriales/procesamiento, codigestión/digestión anaerobia, compostaje/aerobio o aplicación al suelo; lo comprado y el agua añadida no cuentan. El Estándar FLW nombra los destinos pero no define "desviado": esta suma es nuestra lectura.
diverted-epa-workgroup = Desviado = peso que en el mes llegó a alimento para animales, biomateriales/procesamiento o compostaje/aerobio; lo comprado y el agua añadida no cuentan. Según la definición del National Measurement Workgroup de la EPA: ni a vertedero, ni amontonado, ni mucho tiempo en el suelo, ni quemado, ni hecho combustible (la digestión queda fuera como combustible: nuestra lectura).
diverted-still-here = Aún sin dar de comer, en existencias: { $weight }. Lo que entró cuenta como apartado de la basura hasta que un registro lo mande a otro lado.
diverted-below-zero = El desviado es negativo donde se tiró más de lo que entró antes que lo que entra ahora.

# Los diez destinos del Estándar FLW, por los nombres cortos de su plantilla de alcance.
flw-destination = { $destination ->
    [animal-feed] alimento para animales
    [biomaterial] biomateriales/procesamiento
    [digestion] codigestión/digestión anaerobia
    [compost] compostaje/aerobio
    [combustion] combustión controlada
    [land] aplicación al suelo
    [landfill] vertedero
    [not-harvested] no cosechado
    [discards] desechos/descartes
   *[sewer] alcantarillado
}
flw-larvae-are-animals = { $way } (las larvas son animales: elección nuestra)
flw-parts-in-it = { $way } (con las partes apartadas)
flw-liquor-in-it = { $way } (con el líquido escurrido)
flw-fed-to-larvae = { $way } (dado a las larvas)
flw-parts-picked-out = { $way } (partes apartadas)
flw-liquor = { $way } (líquido escurrido)
flw-diverted-by-rule = desviado de todas las cargas por la regla `{ $rule }`

# Lo que el Estándar FLW pide que diga un informe.
scope-heading = Qué son estas cifras
scope-month = { $month } hora local, del día 1 a las 00:00 al siguiente día 1 a las 00:00, { $zone }
scope-year = { $month } hora local, del 1 de enero a las 00:00 al siguiente 1 de enero a las 00:00, { $zone }
scope-days = del { $first } a las 00:00 al final del { $last }, { $zone }
scope-all-suppliers = todo el material orgánico traído a la granja
scope-one-supplier = material orgánico que { $supplier } trajo a la granja
scope-timeframe = Periodo: { $when }, por la hora de pesaje.
scope-material = Material: alimentos y partes no comestibles juntos, peso húmedo al recibir.
scope-apart = Ni lo uno ni lo otro, así que el estándar no lo cubre y no está en su tabla de destinos: { $streams }.
scope-left-out = Los envases quedan fuera como tara; lo comprado y el agua añadida no están en estas cifras.
scope-left-out-and-packaging = Los envases quedan fuera como tara y donde se apartaron; lo comprado y el agua añadida no están en estas cifras.
scope-boundary = Límite: { $whose }, después del muelle del proveedor; no incluye pérdidas antes de la cosecha.
scope-method = Método: cada carga pesada, bruto menos tara, en báscula no verificada, división { $division }.
scope-method-verified = Método: cada carga pesada, bruto menos tara, en báscula verificada ({ $why }), división { $division }.
scope-estimated = De ello, { $weight } se estimó por volumen y densidad y no se pesó.
scope-nothing-weighed = Incertidumbre: no se pesó ninguna carga del mes.
scope-uncertainty = Incertidumbre: solo por la división de la báscula, la suma de { $nets ->
    [one] { $nets } neto
   *[other] { $nets } netos
} tiene una incertidumbre estándar de { $weight } (distribución rectangular, d/√6 por neto). El error de calibración no está incluido y no se compensa al sumar.
parts-none = No se apartó nada a mano.
parts-picked-out = Apartado a mano: { $parts }.
parts-inedible = { $weight } de partes no comestibles
parts-packaging = { $weight } de envases, ni alimento ni partes no comestibles
parts-unsaid = { $weight } de partes sin tipo indicado
