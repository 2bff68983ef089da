# Paquetes que llegan, lo que se apartó, teléfonos y sus respuestas, cómo está la oficina misma.
take-in-title = Recibido
take-in-bring = Traer paquetes
take-in-choose = Paquetes que entregaron los exploradores, archivos que terminan en .yard
take-in-limit = Hasta { $files } archivos, { $most } en total. Están sellados: solo esta oficina los puede abrir.
take-in-button = Recibirlos
take-in-drop-hint = O suelte los archivos aquí.
take-in-progress = Cuánto va
take-in-repeatable = Recibir un archivo otra vez no cambia nada. Lo que no se puede recibir y puede importar después se guarda como llegó.
take-in-not-yours = En esta página reciben paquetes los guías de exploradores y las funciones siguientes.
take-in-js-sending = Archivo { $n } de { $files }, { $file }: ha llegado { $percent } de 100
take-in-js-taking = Archivo { $n } de { $files }, { $file }: se ha recibido { $percent } de 100
take-in-js-done = Listo: { $n } de { $files } recibidos.
take-in-js-large = { $file } pasa de { $most }. No se envió: haga paquetes más pequeños en el teléfono.
take-in-js-many = A lo más { $most } archivos a la vez. No se envió nada: elija menos.
take-in-js-lost = { $file } no llegó, o la página de la oficina no contestó. Mire la lista de abajo antes de enviarlo otra vez; recibirlo dos veces no cambia nada.
take-in-js-report = Lo que trajeron
take-in-log = Paquetes
take-in-newest-first = primero los más nuevos
take-in-newest = Los más nuevos
take-in-older = Anteriores
take-in-none-yet = Todavía no se ha recibido nada.
take-in-files-so-far = { $n ->
    [one] Se entregó { $n } archivo
   *[other] Se entregaron { $n } archivos
}. Recibir un archivo otra vez no cambia nada.
take-in-office-has-it = La oficina lo tiene
take-in-place-no-number = El lugar que lleva no es un número.
take-in-bad-number = Los paquetes llevan números 1, 2, 3; los que llegaron juntos, 3-7.

take-in-somebody = alguien que aquí no se conoce
take-in-at = Recibido a las { $when }
take-in-made-at = hecho en el teléfono a las { $when } según su propio reloj
take-in-of-file = archivo { $file }
take-in-from = Paquete de { $who }
take-in-file = Archivo { $file }
take-in-why = Por qué:
take-in-what-to-do = Qué hacer:
take-in-stands-kept = Apartado, guardado con sello
take-in-stands-refused = No se recibió
take-in-sum-none = no se recibió.
take-in-sum-new = { $n } { $n ->
    [one] cambio nuevo
   *[other] cambios nuevos
}, { $here } ya estaban aquí
take-in-sum-aside = { $n } apartados
take-in-pictures = { $n } { $n ->
    [one] imagen
   *[other] imágenes
}
take-in-changes = { $n } { $n ->
    [one] cambio
   *[other] cambios
}
take-in-unit-changes = { $n ->
    [one] cambio
   *[other] cambios
}
take-in-unit-pieces = { $n ->
    [one] trozo de un registro
   *[other] trozos de un registro
}
take-in-unit-pictures = { $n ->
    [one] imagen
   *[other] imágenes
}
take-in-unit-files = { $n ->
    [one] archivo
   *[other] archivos
}
take-in-unit-end = final
take-in-nothing-taken = No se recibió nada de él, y aquí no cambió nada.
take-in-kept-until = El archivo se guarda con sello hasta que alguien decida.
take-in-no-change = No trajo ningún cambio.
take-in-all-here = La oficina ya lo tenía todo. No cambió nada.
take-in-accounted = No falta explicar nada. { $new } { $new ->
    [one] registro está
   *[other] registros están
} aquí por primera vez, { $grew } { $grew ->
    [one] registro creció
   *[other] registros crecieron
}. Recibir el mismo archivo otra vez no cambia nada.
take-in-changes-aside = { $n } { $n ->
    [one] cambio apartado
   *[other] cambios apartados
}:
take-in-pieces-aside = { $n } { $n ->
    [one] trozo de un registro apartado
   *[other] trozos de un registro apartados
}:
take-in-forks = Un registro con dos historias en { $n } { $n ->
    [one] lugar
   *[other] lugares
}.
take-in-cut = Le falta el final.
take-in-cut-do = Lo que está entero se usó; pida el archivo otra vez para tener el resto.
take-in-damaged-parts = { $n } { $n ->
    [one] parte dañada
   *[other] partes dañadas
}.
take-in-pictures-missing = No { $n ->
    [one] ha llegado { $n } imagen
   *[other] han llegado { $n } imágenes
}.
take-in-on-the-phone = Siguen en el teléfono.
take-in-clock-ahead = El reloj del teléfono va adelantado.
take-in-nothing-new = Nada nuevo.
take-in-had-it = La oficina ya lo tenía todo.
take-in-end-why = El archivo se corta antes de su final.
take-in-end-do = Pida el archivo otra vez. Lo que está entero se usó.
take-in-pictures-why = Anunciadas por un teléfono, y no están aquí.
take-in-still-on-phone = Siguen en el teléfono. Las ofrece otra vez por sí mismo en la próxima entrega.
take-in-nothing-to-do = Nada; se guarda.
take-in-code-newer = Una versión más nueva lo llama { $code }. Se guarda.
take-in-gap = De { $who }, lo guardado del { $from } al { $to } del registro { $log }.
take-in-gap-lost = El teléfono ya no los puede leer y lo dice. Solo un paquete anterior o una copia de respaldo suya podría tenerlos.
take-in-waits-nothing = No hay nada apartado.
take-in-waits-changes = Hay { $changes } { $changes ->
    [one] cambio apartado
   *[other] cambios apartados
}, sin tocar.
take-in-waits-files = Hay { $files } { $files ->
    [one] archivo apartado
   *[other] archivos apartados
}, sin tocar.
take-in-waits-both = Hay { $changes } { $changes ->
    [one] cambio
   *[other] cambios
} y { $files } { $files ->
    [one] archivo
   *[other] archivos
} apartados, sin tocar.
take-in-waits-from = De { $who }. { $why }
take-in-kept-since = { $why } Guardado con sello desde el { $day } bajo { $id }.
take-in-erased-do = Nombra un registro que se borró: decida en la página de lo apartado, o con dooryard office quarantine, si se guarda.

take-in-another = Recibir otro
take-in-make-reply = Hacer la respuesta para { $who }
take-in-the-sum = La suma
take-in-sum-in-it = { $n ->
    [one] cambio en el paquete
   *[other] cambios en el paquete
}
take-in-sum-all = cambios en total
take-in-sum-is-new = nuevos
take-in-sum-is-here = ya estaban
take-in-sum-is-aside = apartados
take-in-together = { $n } archivos, { $kept } recibidos
take-in-together-nothing = La oficina ya lo tenía todo. No cambió nada.
take-in-together-accounted = No falta explicar nada. Recibir los mismos archivos otra vez no cambia nada.
take-in-each = Lo que trajo cada uno
take-in-brought = Nuevo y cambiado
take-in-col-inquiry = Consulta
take-in-col-plants = Plantas
take-in-col-findings = Hallazgos
take-in-col-photos = Fotos
take-in-col-what = Qué es
take-in-no-plant = sin planta anotada
take-in-no-township = sin municipio anotado
take-in-is-new = Consulta nueva
take-in-grew = Ya conocida, ahora con más
take-in-others = { $n } { $n ->
    [one] registro no es
   *[other] registros no son
} de ninguna consulta, como las horas de trabajo.
take-in-more-inquiries = { $n } { $n ->
    [one] consulta más no se muestra
   *[other] consultas más no se muestran
} aquí.
take-in-more = { $n } { $n ->
    [one] registro más no se nombra
   *[other] registros más no se nombran
} aquí.
take-in-some-sealed = Una parte está bajo sello y no se muestra en ningún lado.
take-in-disagree = No coincide con otro teléfono
take-in-disagree-note = en lo que trajo este paquete; todo se guarda hasta que alguien elija
take-in-disagree-none = Nada de este paquete deja de coincidir ahora con otro teléfono.
take-in-look-at-inquiry = Ver la consulta
take-in-decide-there = Decidir sobre lo apartado
take-in-nothing-missing = No falta nada de lo que anunció este paquete.
take-in-phone-now = Cómo está { $who } ahora

take-in-aside = Apartado
take-in-aside-unchanged = sin tocar, no se tiró nada
take-in-aside-note = Cada cosa con su motivo y lo que se puede hacer.
take-in-not-come = No ha llegado
take-in-not-come-none = A ningún registro le falta un trozo, y no falta ninguna foto anunciada.
take-in-answer = Contestar a los teléfonos
take-in-answer-note = Lo que entregó cada teléfono, lo que se le dijo, y su respuesta para devolver.
take-in-all-phones = Todos los teléfonos
take-in-aside-title = Apartado
take-in-aside-about = Lo que no se pudo recibir y puede importar después se guarda como llegó.
take-in-all-bundles = Todos los paquetes
take-in-aside-files = Archivos enteros
take-in-aside-no-files = Ningún archivo espera una decisión.
take-in-again = Intentar otra vez
take-in-again-all = Intentar otra vez los { $n }
take-in-throw = Tirar
take-in-throw-note = Para siempre. Queda donde estaba antes, si alguien lo guardó allí.
take-in-throw-sure = Tirarlo para siempre
take-in-erased-head = Nombra un registro que se borró.
take-in-erased-page = Si se recibe, sus palabras siguen borradas. Guardado aquí, se podrían abrir con la llave de la oficina: decida si el archivo todavía se quiere.
take-in-erased-waits = Espera a que se admita su teléfono; entonces se reciben sus palabras, y lo borrado queda fuera. Guardado aquí, se podría abrir con la llave de la oficina. Si se tira, lo demás que trae solo está en el teléfono.
take-in-aside-changes = Cambios que todavía no cuentan
take-in-aside-no-changes = Todos los cambios que llegaron cuentan.
take-in-which = Qué registros
take-in-let-count = { $n ->
    [one] Que cuente
   *[other] Que cuenten los { $n }
}
take-in-refuse = { $n ->
    [one] Rechazarlo
   *[other] Rechazar los { $n }
}
take-in-decide-note = De ningún modo se pierde nada: lo rechazado se guarda y no se muestra, y vale la última decisión. El teléfono se entera con su próxima respuesta.
take-in-reviewer-decides = Decide quien revisa
take-in-admin-decides = Decide quien administra
take-in-about-new = un registro del que todavía no cuenta nada
take-in-about-sealed = un registro bajo sello
take-in-kind-inquiry = consulta
take-in-kind-contact = quien preguntó
take-in-kind-site = sitio
take-in-kind-site_note = nota sobre el sitio
take-in-kind-plant = planta
take-in-kind-visit = visita
take-in-kind-finding = hallazgo
take-in-kind-photo = foto
take-in-kind-sample = muestra
take-in-kind-custody = entrega de una muestra
take-in-kind-diagnosis = diagnóstico
take-in-kind-advice = consejo
take-in-kind-follow_up = seguimiento
take-in-kind-review = revisión
take-in-kind-alert = registro sellado
take-in-kind-hours = horas de trabajo
take-in-counts-changed = Mientras tanto { $n ->
    [one] espera { $n } cambio
   *[other] esperan { $n } cambios
} aquí. Mírelos otra vez.
take-in-damaged = Archivos dañados del cuaderno de la oficina
take-in-damaged-why = Aquí se apartó un cuaderno que no se pudo leer. Lo que se pudo leer de él está en uso.
take-in-damaged-erased = Decida si lo que queda de él todavía se quiere.
take-in-damaged-erase = Borrarlo

take-in-phones = Teléfonos
take-in-phones-table = Los teléfonos y lo que la oficina tiene de cada uno
take-in-phones-heard = { $heard } de { $n } { $n ->
    [one] teléfono ha
   *[other] teléfonos han
} entregado hasta ahora.
take-in-no-phones = Esta oficina todavía no tiene ningún teléfono.
take-in-phones-note = Lo que un teléfono tiene y no ha entregado está a salvo en él, y falta en todas las cuentas de aquí.
take-in-col-phone = Teléfono
take-in-col-last = Visto por última vez
take-in-col-here = La oficina tiene
take-in-col-told = Se le dijo
take-in-col-open = Por llegar, o pendiente
take-in-col-reply = Respuesta
take-in-role-scout = explorador
take-in-role-lead = guía
take-in-role-educator = persona a cargo
take-in-role-office = oficina
take-in-pictures-of = { $n } de las { $named } imágenes que nombra
take-in-saves = lo guardado: { $saves }
take-in-saves-none = nada
take-in-saves-span = { $from } a { $to }
take-in-saves-new-log = {"; después, en un registro nuevo, "}
take-in-original = El archivo mismo
take-in-original-kept = Se guarda aquí tal como llegó, sellado para esta oficina.
take-in-original-erased = Se quitó: algo de lo que contenía se borró después.
take-in-original-old = Se guardó { $n } { $n ->
    [one] día
   *[other] días
}, y ya no está. Lo que trajo está en el libro.
take-in-original-none = No se guardó. Lo que trajo está en el libro.
take-in-original-out = Sacar el archivo
take-in-original-again = Leerlo otra vez
take-in-told-nothing = nada todavía
take-in-told-when = Respuesta { $number }, { $when }
take-in-told-sum = { $n } { $n ->
    [one] cambio
   *[other] cambios
}, { $photos } { $photos ->
    [one] imagen
   *[other] imágenes
}
take-in-told-stored = guardado en la oficina
take-in-told-safe = guardado, y lo que está en un respaldo fuera de esta computadora está a salvo
take-in-untold = { $n } { $n ->
    [one] cambio
   *[other] cambios
} aquí que ninguna respuesta ha dicho todavía
take-in-open-come = { $n } { $n ->
    [one] cambio
   *[other] cambios
} sin llegar
take-in-open-pictures = { $n } { $n ->
    [one] imagen
   *[other] imágenes
} sin llegar
take-in-open-lost = { $n } { $n ->
    [one] cambio perdido
   *[other] cambios perdidos
} en el teléfono
take-in-open-aside = { $n } { $n ->
    [one] cambio apartado
   *[other] cambios apartados
}
take-in-open-logs = { $n } registros, porque se restauró de un respaldo
take-in-open-closed = cerrado: lo que escriba ahora espera a una persona
take-in-open-nothing = nada
take-in-last-none = todavía no
take-in-sealed-bundles = { $n ->
    [one] Con él espera { $n } paquete sellado.
   *[other] Con él esperan { $n } paquetes sellados.
}

take-in-reply-make = Hacer la respuesta
take-in-reply-all = Todas las respuestas en un archivo
take-in-reply-note = Una respuesta es un archivo para un solo teléfono, que nadie más puede abrir. Nunca cabe en un código: un código lleva { $most } bytes, y la respuesta más pequeña pasa de 4,000. Entréguela como archivo.
take-in-close = Cerrar
take-in-close-note = Lo que entregó se queda. Lo que escriba desde ahora espera a una persona.
take-in-close-sure = Cerrar { $who }

take-in-asking = Teléfonos que piden entrar
take-in-frozen-head = Dos teléfonos vinieron con este código:
take-in-frozen = los dos esperan hasta que alguien diga cuál es el bueno. Al otro no se le deja entrar.
take-in-asking-do = llame y pida que le lean las seis palabras del teléfono, en cualquiera de los dos idiomas. Admítalo solo si las seis son las mismas.
take-in-compared = Las seis palabras son las mismas
take-in-this-one = Este es el bueno de los dos
take-in-admit = Admitir a { $who }
take-in-turn-away = No dejar entrar
take-in-turn-away-note = Aquí se quitan sus paquetes sellados. En el teléfono se queda todo.
take-in-turn-away-sure = No dejarlo entrar
take-in-not-compared = Nadie ha dicho que las seis palabras sean las mismas. El teléfono no se admitió.
take-in-invite = Invitar un teléfono
take-in-invite-label = Cómo le dicen, por ejemplo «Scout 9»; nunca el nombre de una persona
take-in-invite-role = Función de quien lo lleva
take-in-invite-days = Días que vale, de 1 a { $most }
take-in-invite-button = Hacer la invitación
take-in-invite-note = Un código para un teléfono, una vez: en esta pantalla o impreso. Otra computadora de la oficina se invita con dooryard office invite.
take-in-invite-no-role = Elija una función de la lista.
take-in-invite-no-days = Los días son un número entero, de 1 a { $most }.
take-in-invite-no-label = El nombre lleva de 1 a 40 letras.
take-in-hear = Leer el código de un teléfono
take-in-hear-about = Con las dos personas en una mesa, el teléfono contesta a la invitación con un código propio. Pegue aquí su texto; las seis palabras aparecen arriba.
take-in-hear-code = El código del teléfono como texto
take-in-hear-button = Leerlo
take-in-ask-unread = Este no es el texto del código de un teléfono. Cópielo entero.
take-in-invited = Invitación para { $label }
take-in-invited-about = { $label } tiene invitación como { $role } hasta las { $until }. El teléfono lee este código.
take-in-invited-once = Es para un teléfono, una vez. Que otros no lo vean; solo se muestra ahora.
take-in-invited-next = En una mesa: lea el código del teléfono en la página de teléfonos. En papel: espere su primer paquete y luego llame.
take-in-admitted = { $label } está admitido
take-in-admitted-about = { $label } es ahora uno de los teléfonos de esta oficina, como { $role }. El teléfono lee este código.
take-in-admitted-next = O haga una respuesta para él: trae lo mismo.
take-in-waited = Lo que esperaba se recibió
take-in-code = El código
take-in-code-alt = Código QR; lo mismo está como texto a un lado
take-in-code-text = Lo mismo como texto
take-in-code-too-long = El texto es demasiado largo para un código. Entréguelo como texto.

take-in-health = Cómo está la oficina
take-in-health-about = Versión, disco, respaldos, lo que se borró, lo que espera.
take-in-health-version = Versión
take-in-health-version-is = { $version }; tablas del cuaderno { $book }, de las cuentas { $people }
take-in-health-disk = Disco
take-in-health-disk-is = { $free } libres de { $whole }
take-in-health-disk-unknown = El sistema no dice cuánto hay libre.
take-in-health-disk-do = haga espacio: un paquete grande necesita dos veces su tamaño.
take-in-health-backup = Último respaldo
take-in-health-backup-none = Todavía no se ha hecho ninguno.
take-in-health-backup-is = { $when }, { $days ->
    [0] hace menos de un día
    [one] hace { $days } día
   *[other] hace { $days } días
}
take-in-health-backup-do = haga uno ahora; abajo dice cómo.
take-in-health-backup-off-do = ninguno está fuera de esta computadora: haga uno en una memoria o en otra computadora, con --off-machine.
take-in-health-ledger = Lo borrado
take-in-health-ledger-is = { $erased } { $erased ->
    [one] registro borrado
   *[other] registros borrados
} del todo o en parte; { $behind ->
    [0] a ningún respaldo le falta uno
    [one] { $behind } respaldo no lo sabe todo
   *[other] { $behind } respaldos no lo saben todo
}
take-in-health-ledger-do = ponga al alcance los lugares de esos respaldos y haga uno nuevo.
take-in-health-waits = En espera
take-in-health-phones = { $phones ->
    [one] { $phones } teléfono pide
   *[other] { $phones } teléfonos piden
} entrar, con { $files } { $files ->
    [one] paquete sellado
   *[other] paquetes sellados
}.
take-in-health-damaged = { $n } { $n ->
    [one] archivo dañado
   *[other] archivos dañados
} del cuaderno, apartados.
take-in-health-keys = Llaves
take-in-health-keys-here = La llave de recuperación sigue en la carpeta de la oficina.
take-in-health-keys-away = La llave de recuperación está guardada aparte.
take-in-health-keys-do = pásela a un cajón con dooryard office put-away.
take-in-health-backups = Respaldos
take-in-health-off = fuera de esta computadora
take-in-health-here = en esta computadora
take-in-health-not-there = Ahora no se llega a su lugar.
take-in-health-behind = Su lista de lo borrado no lo sabe todo.
take-in-health-whole = Está, y su lista de lo borrado lo sabe todo.
take-in-health-how = Cómo hacer un respaldo y traerlo de vuelta
take-in-health-how-1 = En esta computadora, en una terminal. El archivo va sellado y se relee antes de contar; lo lleva todo, también las cuentas y las líneas del condado, pero ningún mapa base: guarde una copia de basemap.pmtiles.
take-in-health-how-2 = Cuando esta computadora ya no está: con la llave de recuperación del cajón, en una carpeta vacía.
take-in-health-how-3 = Las cuentas y la bitácora vuelven, las sesiones no: cada quien entra de nuevo. Después haga una respuesta para cada teléfono.
take-in-bytes = { $n } bytes
take-in-kilobytes = { $n } kB
take-in-megabytes = { $n } MB
take-in-gigabytes = { $n } GB

trouble-files-large = Demasiado a la vez
trouble-files-large-why = Se envió más de { $most } a la vez. No se recibió nada.
trouble-files-large-do = envíe menos archivos, o pida paquetes más pequeños en el teléfono.
trouble-files-many = Demasiados archivos a la vez
trouble-files-many-why = Se enviaron más de { $most } archivos a la vez. No se recibió nada.
trouble-files-many-do = envíelos en varias partes.
trouble-no-file = Ningún archivo
trouble-no-file-why = No se eligió ningún archivo. No se recibió nada.
trouble-no-file-do = regrese, elija los archivos que terminan en .yard, y envíelos.
trouble-cut-short = Se cortó
trouble-cut-short-why = Terminó antes de que llegara todo. No se recibió nada.
trouble-cut-short-do = envíelo otra vez.
trouble-no-room = No hay espacio
trouble-no-room-why = En el disco de la oficina no hay espacio. No se recibió nada.
trouble-no-room-do = haga espacio en el disco y envíelo otra vez.
trouble-refused = Rechazado
trouble-refused-do = regrese y mire la página otra vez. No se cambió nada.

audit-took-original = sacó un paquete tal como llegó
audit-took-in = recibió un archivo
audit-tried-again = intentó otra vez con un archivo apartado
audit-threw-away = tiró un archivo apartado
audit-let-count = dejó que contara un cambio
audit-refused-change = rechazó un cambio
audit-erased-damaged = borró un archivo dañado del cuaderno
audit-invited-phone = invitó un teléfono
audit-heard-phone = leyó el código de un teléfono
audit-admitted-phone = admitió un teléfono
audit-turned-phone-away = no dejó entrar un teléfono
audit-closed-phone = cerró un teléfono
audit-made-reply = hizo la respuesta para un teléfono
audit-file = archivo que empieza con { $begin }
audit-phone = teléfono que empieza con { $begin }
