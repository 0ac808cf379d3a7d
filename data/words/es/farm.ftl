# Un libro nuevo, y los ajustes de la granja.
begin-title = Libro { $file } empezado
begin-mark = Los números llevan { $mark ->
    [point] punto decimal
    [comma] coma decimal
   *[other] decimal { $mark }
}. Si la báscula muestra otra marca: trayful farm --decimal-mark MARCA
begin-rules = Las reglas de uso son un resumen con fecha; qué se puede dar a las larvas lo dice su autoridad local.
begin-seal = Sello del libro { $seal }
farm-title = Granja de { $file }
farm-line = { $zone }, báscula en { $division }, { $currency }, larvas para { $larvae } en { $region }
farm-statements = En los extractos: { $name }; báscula { $scale }; desviado según la regla `{ $rule }`
farm-no-name = sin nombre
farm-scale-verified = verificada ({ $why })
farm-scale-not-verified = sin verificar
farm-defaults = Mezclas con nuestros valores de fábrica (`trayful farm --help` dice qué puede elegir una granja)
farm-chosen = Elegido por la granja: { $chosen }; lo demás, con nuestros valores de fábrica
choice-mark = números con { $mark ->
    [point] punto decimal
    [comma] coma decimal
   *[other] decimal { $mark }
}
choice-sure = márgenes seguros al { $sure } %
choice-smallest = nada por debajo de { $weight }
choice-most-lots = { $most ->
    [one] como mucho { $most } lote por grupo
   *[other] como mucho { $most } lotes por grupo
}
choice-water = agua: { $water ->
    [last-resort] último recurso
    [never] nunca
   *[other] { $water }
}
choice-small-scale = una báscula pequeña de { $division } hasta { $most }
choice-first-stage = { $stage } come primero si falta
choice-language = respuestas en { $language ->
    [es] español
   *[en] inglés
}
farm-container = recipiente
farm-holds = cabe

# Dinero apuntado.
paid-in = { $item }: entra { $amount } { $currency }
paid-out = { $item }: sale { $amount } { $currency }
paid-reckoned = Calculado: { $reckoned }.
paid-next = El dinero del mes: trayful money.

# Una propuesta aceptada.
take-title = { $key }: aceptado
take-evidence = Por lo visto en la granja: { $evidence }.
take-next = Desde ahora existencias, mezcla y noches por venir cuentan con ello. Para volver: trayful strike r{ $seq } --why MOTIVO
