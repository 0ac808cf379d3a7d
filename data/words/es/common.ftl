# Palabras que encabezan columnas, nombran líneas y rotulan gráficos en muchas hojas.
supplier = proveedor
stream = material
month = mes
when = cuándo
why = por qué
weight = peso
destination = destino
loads = cargas
refused-loads = cargas rechazadas
received = recibido
picked-out = apartado
refused = rechazado
diverted = desviado
net = neto
all = todo
all-suppliers = Todos los proveedores
opening = al inicio
closing = al final
came = entró
fed = alimentado
water = agua
bought-on-the-night = comprado en la noche
other-ways = otras salidas
shrink = merma
scale-explains = la báscula explica
cohort = cohorte
larvae-fresh = larvas, frescas
hatched = eclosión
not-known = no se sabe
moisture-pct = humedad %
record = registro
version = versión { $version }
weight-of-stream = { $weight } de { $stream }
weekday = { $day ->
    [0] lun
    [1] mar
    [2] mié
    [3] jue
    [4] vie
    [5] sáb
   *[6] dom
}
lot-named = lote { $what }
day-short = { $weekday } { $day } { $month ->
    [1] ene
    [2] feb
    [3] mar
    [4] abr
    [5] may
    [6] jun
    [7] jul
    [8] ago
    [9] sep
    [10] oct
    [11] nov
   *[12] dic
}
month-named = { $month ->
    [1] enero
    [2] febrero
    [3] marzo
    [4] abril
    [5] mayo
    [6] junio
    [7] julio
    [8] agosto
    [9] septiembre
    [10] octubre
    [11] noviembre
   *[12] diciembre
} de { $year }
pct-of-dry = { $value } % MS
from-to = { $low } a { $high }
night = noche
feed-group = grupo de alimentación
up-to = hasta { $what }
days = días
less-than = menos de { $number }
measure-of = { $stream } ({ $measure })
# Una cifra frente a su margen.
standing = { $standing ->
    [inside] dentro
    [below] DEMASIADO BAJO
    [above] DEMASIADO ALTO
    [limit] FUERA DEL LÍMITE
   *[none] sin valor
}
# Cuánto de probable: tantas veces de tantas.
chance = { $times } de cada { $of }
