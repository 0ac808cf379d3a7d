# Registros enviados a la base de datos de muchos sitios, y leídos de allí.
share-sent = { $site }: { $records ->
    [0] nada nuevo que enviar
    [one] 1 registro enviado
   *[other] { $records } registros enviados
}; allí están los { $all } registros, cada uno comprobado por la base de datos. Sello del libro { $seal }
share-prepared = Las tablas están, esquema { $schema }
share-left-out = este programa se compiló sin la función de compartir
hint-share-build = `cargo install --path . --features share` lo compila con ella
share-broke = la base de datos { $with } no responde: { $why }
hint-share-again = no se pierde nada; la misma orden sigue donde se detuvo
share-not-prepared = la base de datos { $with } tiene tablas del esquema { $found }, y este programa necesita el esquema { $known }
hint-share-prepare = quien cuida la base de datos ejecuta `trayful share --prepare --to ADDRESS` una vez
share-other-migration = el paso { $number } de las tablas se hizo allí con otro texto que el de este programa; no se cambió nada
share-fork = la base de datos tiene otro registro { $seq } de { $site } que este libro: dos libros se enviaron como un sitio
hint-share-fork = no se envió nada; envíe el otro libro, o pida un rol propio para este
share-behind = la base de datos tiene { $there } registros de { $site }, este libro solo { $here }: es una copia más vieja
hint-share-behind = no se envió nada; use la copia más nueva del libro
share-refused = la base de datos no lo aceptó: { $why }
share-no-such-site = no hay sitio { $site } allí; conocidos: { $known }
share-unreadable = { $site }: la base de datos tiene lo que este programa no sabe leer: { $what }
share-not-an-address = no es la dirección de una base de datos: { $why }; se acepta: postgres://SITE@HOST/DATABASE
share-no-authority = no hay certificado con que comprobar la base de datos; nombre uno con --ca FILE
share-bad-authority = el certificado de --ca no sirve: { $error }
share-no-sites = todavía ningún sitio ha enviado nada allí
sites-title = Mes { $month }, { $sites } sitios
sites-title-one = Mes { $month }, sitio { $site }
sites-title-supplier = { $supplier }: mes { $month }, { $sites ->
    [one] 1 sitio
   *[other] { $sites } sitios
}
sites-by-site = Por sitio
sites-name = nombre
sites-state = estado
sites-draft = borrador
sites-changed = versión { $version }, cambió después
sites-seal = sello del libro
sites-bounds = El mes de cada sitio empieza y acaba a su propia medianoche ({ $zones }).
sites-left-out = Tiques, balanza y días de la semana están en la página del mes de cada sitio.
