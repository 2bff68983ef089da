# Entregar, desacuerdos, lo quitado, privacidad, copias y las primeras pantallas de un teléfono.
phone-hand-what = { $n ->
    [0] Ninguna consulta
    [one] 1 consulta
   *[other] { $n } consultas
}, { $photos ->
    [one] 1 foto
   *[other] { $photos } fotos
}, { $size }
phone-hand-sealed = Sellado: nadie en el camino puede leerlo.
phone-hand-kept = Todo se queda en este teléfono hasta que la respuesta de la oficina pruebe que lo tiene.
phone-hand-no-office = Este teléfono todavía no es de ninguna oficina. Pida su código a la oficina de su condado; lo que hay aquí se puede entregar en cuanto lo tome.
phone-handed-holds = El archivo tiene todo lo no entregado, { $photos } imágenes, { $size }.
phone-handed-next = Llévelo o envíelo a la oficina como pueda. Si se pierde, haga otro: en la oficina nada queda doble.
phone-handed-more = No cupo todo; quedan { $n } imágenes. Haga otro archivo después de la respuesta de la oficina.
phone-reply-received = { $n ->
    [0] La oficina no tiene nada nuevo de este teléfono.
    [one] La oficina tiene con certeza 1 cambio de este teléfono.
   *[other] La oficina tiene con certeza { $n } cambios de este teléfono.
}
phone-reply-photos = { $n ->
    [one] Tiene con certeza 1 imagen.
   *[other] Tiene con certeza { $n } imágenes.
}
phone-reply-shows = { $n ->
    [one] Le muestra a este teléfono 1 registro.
   *[other] Le muestra a este teléfono { $n } registros.
}
phone-reply-restored = Este teléfono volvió de una copia. No se perdió nada: lo que la oficina no tiene se ofrece otra vez.
phone-reply-waiting = { $n ->
    [one] 1 cambio espera en la oficina. Por qué:
   *[other] { $n } cambios esperan en la oficina. Por qué:
}
phone-conflict-none = Nadie escribió distinto sobre lo mismo.
phone-conflict-more = Hay más. Vienen cuando estos estén resueltos.
phone-conflict-two = Escrito sin haber visto lo primero. Se guardan los dos.
phone-conflict-many = Nadie había visto lo de los demás. Se guardan todos.
phone-conflict-gone = algo que no está en este teléfono
phone-conflict-keep = Dejar: { $what }
phone-conflict-note = { $who } escribió otra cosa, { $when }: { $field }: { $what }
phone-bin-none = No se ha quitado nada.
phone-place-away = Se quitó la posición.
phone-taken-away = Se quitó: { $what }.
phone-holds-inquiry = Consultas
phone-holds-contact = Personas que preguntaron (privado)
phone-holds-site = Lugares (privado)
phone-holds-visit = Visitas
phone-holds-finding = Hallazgos
phone-holds-photo = Fotos
phone-holds-pictures = Archivos de imágenes
phone-holds-size = { $n }, { $size }
phone-leaves-1 = Un paquete tiene lo que la oficina no ha confirmado: registros con nombres y lugares, fotos como las escribió la cámara.
phone-leaves-2 = Se sella para la oficina antes de salir. Solo la llave de la oficina lo abre.
phone-leaves-3 = Nada más sale de este teléfono. No hay cuenta ni a quién informar.
phone-leaves-4 = Una carta que usted comparte tiene lo que ve en ella, y va a donde la envíe.
phone-let-go-nothing = Guardar todo en este teléfono
phone-let-go-originals = Soltar las fotos cuando la oficina las tenga seguras; las chicas se quedan
phone-let-go-contacts = Soltar fotos, nombres y números cuando la oficina los tenga seguros
phone-erase-loses = Al borrar se pierde lo que la oficina no tiene. { $what }
phone-erase-nothing = Todo se entregó. Lo que la oficina no ha confirmado se pierde aquí de todos modos.
phone-erase-elsewhere = Los archivos hechos antes (paquetes, copias, cartas) se quedan donde se pusieron.
phone-erase-office = Lo que tiene la oficina se queda allá. Allá se puede borrar.
phone-backup-never = Todavía no se ha hecho una copia.
phone-backup-last = Última copia: { $day }
phone-backup-due = { $n ->
    [one] 1 cambio desde entonces. Toca hacer una copia.
   *[other] { $n } cambios desde entonces. Toca hacer una copia.
}
phone-backup-note-1 = Una copia tiene el cuaderno entero con sus fotos, sellado.
phone-backup-note-2 = Solo la abre la llave de este teléfono, o la llave de rescate de la oficina. Guárdela en otro lugar que este teléfono.
phone-backup-note-alone = Mientras este teléfono no sea de una oficina, solo la llave de este teléfono la abre. Guarde también sus propios datos en un archivo: ese se abre en cualquier parte.
phone-backup-note-3 = Traer una de vuelta agrega a lo que hay y no reemplaza nada.
phone-backup-made = Se leyó de nuevo, y está entera: { $photos } imágenes, { $size }.
phone-merged-new = { $n ->
    [one] 1 cambio no estaba aquí.
   *[other] { $n } cambios no estaban aquí.
}
phone-merged-here = { $n ->
    [one] 1 cambio ya estaba aquí.
   *[other] { $n } cambios ya estaban aquí.
}
phone-merged-photos = { $n ->
    [one] 1 imagen no estaba aquí.
   *[other] { $n } imágenes no estaban aquí.
}
phone-merged-drafts = { $n ->
    [one] Algo escrito queda junto a otro; se guardan los dos.
   *[other] { $n } cosas escritas quedan junto a otras; se guardan todas.
}
phone-own-data-1 = Sus datos: un archivo zip con tablas, todos los registros y las fotos. Cualquier computadora lo lee.
phone-own-data-2 = No está sellado: en él se pueden leer nombres y lugares.
phone-own-data-made = { $records ->
    [one] 1 registro
   *[other] { $records } registros
}, { $photos ->
    [one] 1 imagen
   *[other] { $photos } imágenes
}, { $size }.
phone-own-data-elsewhere = { $n ->
    [one] 1 imagen no está en este teléfono ni en el archivo.
   *[other] { $n } imágenes no están en este teléfono ni en el archivo.
}
phone-brought-new = { $n ->
    [one] Se escribió 1 valor.
   *[other] Se escribieron { $n } valores.
}
phone-brought-here = { $n ->
    [one] 1 valor ya estaba aquí.
   *[other] { $n } valores ya estaban aquí.
}
phone-brought-not-yours = { $n ->
    [one] 1 valor le toca escribirlo a la oficina y quedó fuera.
   *[other] { $n } valores le toca escribirlos a la oficina y quedaron fuera.
}
phone-brought-erased = { $n ->
    [one] 1 registro se borró entretanto y queda fuera.
   *[other] { $n } registros se borraron entretanto y quedan fuera.
}
phone-office = Oficina
phone-role = Papel
phone-role-scout = explorador
phone-role-lead = guía de exploradores
phone-role-educator = educador
phone-role-office = oficina
phone-called = Este teléfono se llama
phone-units-customary = Pies, pulgadas, millas
phone-units-metric = Metros, centímetros, kilómetros
phone-first-none = Este teléfono todavía no es de ninguna oficina.
# At the head of a letter where an office's name would stand.
phone-letter-no-office = Notas de una visita a un jardín
phone-first-new-key = La llave de este teléfono se perdió y ahora tiene una nueva. Todo se guarda aquí. La oficina tiene que volver a admitir este teléfono antes de que se pueda entregar algo; entonces se puede entregar todo, también lo que se escribió antes.
phone-first-kept = Todo funciona sin oficina y se guarda aquí. No se puede entregar nada hasta tomar el código de una oficina; entonces se puede entregar todo.
phone-first-code = Tome el código que le dio la oficina: escanéelo, péguelo o escríbalo. No hace falta señal.
phone-first-compare = La oficina lee seis palabras. Tienen que ser estas, en este orden. Compárelas antes de escribir un nombre.
phone-first-asking = Todo se puede escribir y entregar. La oficina contesta con su primera respuesta.
phone-first-enrolled = Este teléfono es uno de { $office }.
phone-first-past = Según el reloj de este teléfono, el código valía hasta el { $day }. El reloj puede andar mal; decide la oficina.
phone-go-can = { $n ->
    [one] Está probado que 1 foto está a salvo en la oficina y puede salir de este teléfono: { $size }.
   *[other] Está probado que { $n } fotos están a salvo en la oficina y pueden salir de este teléfono: { $size }.
}
phone-go-stays = { $n ->
    [one] Su imagen pequeña se queda aquí, y todo lo que se anotó. La foto misma se queda en la oficina.
   *[other] Sus imágenes pequeñas se quedan aquí, y todo lo que se anotó. Las fotos mismas se quedan en la oficina.
}
phone-go-none = Ahora ninguna foto puede salir de este teléfono.
phone-go-unproven = { $n ->
    [one] 1 foto se queda: ninguna respuesta de la oficina prueba todavía que está a salvo allí.
   *[other] { $n } fotos se quedan: ninguna respuesta de la oficina prueba todavía que están a salvo allí.
}
phone-go-no-office = { $n ->
    [one] 1 foto se queda: este teléfono no es todavía de ninguna oficina, y la foto no está en otro lugar.
   *[other] { $n } fotos se quedan: este teléfono no es todavía de ninguna oficina, y no están en otro lugar.
}
phone-go-contacts = Por la regla que usted eligió, salen también los nombres y números que están a salvo en la oficina.
phone-went = { $n ->
    [one] 1 foto salió de este teléfono. Quedan libres { $size }.
   *[other] { $n } fotos salieron de este teléfono. Quedan libres { $size }.
}
phone-went-none = Ninguna foto salió de este teléfono.
phone-content-version = Versión
phone-content-day = Del
phone-content-until = Para usar hasta el
phone-content-from = Llegó
phone-content-with-app = con la aplicación
phone-content-sent = de la oficina, después de la aplicación
phone-content-reviewed = Revisado
phone-content-reviewed-yes = cada parte por especialistas
phone-content-reviewed-no = todavía por nadie
phone-file-is-reply = Una respuesta de la oficina para este teléfono
phone-file-is-bundle = Un archivo sellado
phone-file-is-backup = Una copia
phone-file-is-own-data = Los datos propios de alguien
phone-file-is-pack = Contenido: qué mirar, causas, consejos
phone-file-is-code = El código de una oficina
phone-file-is-answer = El código de respuesta de una oficina
phone-file-is-other = Ninguno de los archivos de esta aplicación
phone-file-for-other = Solo puede abrirlo aquel para quien se selló: una oficina u otro teléfono. Llévelo tal como está.
phone-file-backup-of-other = La llave de este teléfono no la abre. Puede abrirla el teléfono que la hizo, o la llave de rescate de la oficina.
phone-file-empty = El archivo está vacío. Pídalo otra vez.
phone-file-other = Esta aplicación no puede usarlo. No se cambió.
phone-in-days = en { $n } días, el { $day }
phone-asked-already = Ya espera una pregunta, para el { $day }.
