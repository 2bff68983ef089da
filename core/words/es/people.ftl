# Cuentas, bitácora, datos de una persona, cuánto tiempo se guardan.
role-reader = lectura
role-scout-lead = guía de exploradores
role-reviewer = revisión
role-admin = administración
role-reader-may = lee consultas, sin direcciones, contactos ni palabras propias de los residentes
role-scout-lead-may = además ve direcciones, contactos y palabras propias de los residentes, y dice quién tiene una consulta
role-reviewer-may = además revisa y contesta
role-admin-may = además lleva las cuentas, la bitácora y lo que se sabe de una persona

account-error-short = Una contraseña tiene { $n } caracteres o más; no se le pide otra cosa.
account-error-two = Las dos contraseñas no son iguales.
account-error-name = Un nombre tiene de 1 a 60 caracteres, en un renglón.
account-error-taken = Ya hay una cuenta con este nombre.
account-error-none = No hay ninguna cuenta abierta con este nombre o número.
account-error-last-admin = Es la única cuenta de administración; la oficina necesita una.
account-error-link = Este enlace ya se usó, o es demasiado viejo.
account-error-wrong = El nombre o la contraseña no es correcto.
account-error-wait = Demasiado pronto después del último intento; espere { $n } { $n ->
    [one] segundo
   *[other] segundos
}.

sign-in = Entrar
sign-in-refused = No se pudo entrar:
sign-in-name = Nombre
sign-in-password = Contraseña
sign-in-forgot = ¿Olvidó la contraseña?
sign-in-use-code = Usar un código de recuperación
sign-in-forgot-rest = de su hoja, o pida un enlace a quien administra la oficina.
not-done = No se hizo:
recover-about = Cada código de su hoja sirve una vez. Aquí elige otra contraseña, y en todos los demás lugares se cierra su sesión.
recover-code = Código de recuperación
recover-back = Regresar a la entrada
choose-this-password = Elegir esta contraseña
welcome-first = La primera cuenta
welcome-first-about = Nadie tiene todavía una cuenta en esta oficina. La suya será de administración: con ella hará las de los demás.
welcome-choose = Elija su contraseña
welcome-choose-about = Para la cuenta «{ $name }». Nadie más la sabrá.
welcome-your-name = Su nombre en la oficina
new-password = Contraseña nueva, { $least } caracteres o más
new-password-about = No se le pide otra cosa. Varias palabras se recuerdan mejor que los signos. Se puede pegar.
new-password-again = La misma otra vez

account-title = Su cuenta
account-line = { $name }, { $role }: { $may }.
account-another-password = Otra contraseña
account-old-password = La contraseña de ahora
account-change-it = Cambiarla
account-codes = Códigos de recuperación
account-codes-left = quedan { $n } de { $all }
account-codes-none = No tiene códigos. Sin ellos, solo quien administra la oficina puede ayudarle a entrar.
account-codes-some = Cada uno sirve una vez, si olvida la contraseña.
account-codes-make = Hacer diez códigos nuevos
account-codes-about = Se muestran una vez, para imprimirlos. Los códigos de antes ya no sirven.
account-signed-in = Sesiones
account-sessions = { $n } { $n ->
    [one] sesión abierta
   *[other] sesiones abiertas
}
account-session-about = Una sesión termina tras una hora sin abrir una página, y en todo caso a las doce horas.
account-sign-out-everywhere = Salir en todas partes
codes-of = Códigos de recuperación de { $name }
codes-about = { $office }. Cada uno sirve una vez, con el nombre, en «Usar un código de recuperación» de la página de entrada.
codes-print = Imprima esta página ahora y guárdela como una llave:
codes-print-rest = los códigos no se muestran otra vez.
codes-cross = Tache cada código cuando lo use. No hay O, I, L ni U en ellos.

people-line = { $n } { $n ->
    [one] cuenta
   *[other] cuentas
}. Cada una es de una persona.
people-one = Datos de una persona
people-keeping = Cuánto tiempo se guardan
people-audit = Bitácora
people-all = Todas las personas
people-who = Quién tiene cuenta
people-you = usted
people-no-password = aún no ha elegido contraseña
people-stands = { $sessions ->
    [0] sin sesión
    [one] 1 sesión abierta
   *[other] { $sessions } sesiones abiertas
}; { $codes ->
    [one] queda 1 código
   *[other] quedan { $codes } códigos
} de recuperación
people-change = Cambiar
people-role-of = Función de { $name }
people-give-role = Dar esta función
people-make-link = Hacer un enlace para elegir contraseña
people-close = Cerrar esta cuenta para siempre
people-closed = Cerradas
people-closed-about = { $names }. Sus nombres quedan en la bitácora.
people-new = Una cuenta nueva
people-name = Nombre de la persona
people-role = Función
people-make = Hacerla
people-new-about = Usted recibe un enlace para entregar; con él la persona elige su contraseña.
people-may = Qué puede cada función
people-may-about = cada una también todo lo anterior
people-numbered = Las cuentas llevan los números 1, 2, 3.
link-title = Un enlace para { $name }
link-about = Sirve una vez, por una hora, en esta computadora.
link-have = Pida a { $name } que lo abra aquí para elegir contraseña. No se muestra otra vez; se puede hacer otro.

audit-title = Bitácora
audit-about = Quién entró, vio, cambió, exportó y borró. Solo se le agrega, y no contiene las palabras de nadie.
audit-newest = Lo más nuevo
audit-older = Lo anterior
audit-on-page = primero lo más nuevo, { $n } en esta página
audit-none = No hay nada anterior anotado.
audit-place = El lugar que indica no es un número.
audit-somebody = Alguien
audit-terminal = En la terminal, alguien
audit-inquiry = consulta que termina en { $end }
audit-photo = foto que termina en { $end }
audit-contact = contacto que termina en { $end }
audit-record = registro que termina en { $end }
# Lo que hizo alguien, después del nombre.
audit-signed-in = entró
audit-sign-in-refused = no pudo entrar: el nombre, la contraseña o el código no era correcto
audit-signed-out = salió
audit-signed-out-everywhere = salió en todas partes
audit-made-account = hizo una cuenta
audit-changed-role = cambió una función
audit-closed-account = cerró una cuenta
audit-made-link = hizo un enlace de una vez para una cuenta
audit-set-password = eligió una contraseña
audit-made-codes = hizo códigos de recuperación nuevos
audit-used-code = usó un código de recuperación
audit-not-allowed = pidió algo que su función no permite
audit-saw-inquiry = vio una consulta
audit-saw-place = vio la dirección de una consulta
audit-changed-holder = cambió quién tiene una consulta
audit-saw-contact = vio quién preguntó
audit-saw-photo = vio una foto de cerca
audit-exported = exportó registros
audit-searched = buscó los datos de una persona
audit-saw-person = vio los datos de una persona
audit-exported-person = exportó los datos de una persona
audit-erased-person = borró los datos de una persona
audit-set-rule = fijó cuánto tiempo se guardan los campos privados
audit-erased-by-rule = borró campos privados según la regla

person-find-about = Se encuentran por el contacto: para verlos, entregarlos a la persona o borrarlos. Cada paso queda en la bitácora, sin las palabras.
person-find-words = Nombre, teléfono o correo electrónico
person-find = Buscar contactos
person-found = Contactos en los que están estas palabras
person-found-none = Ninguno. Qué hacer: escriba menos palabras, o solo el principio. Lo borrado no se encuentra.
person-no-name = un contacto sin nombre
person-no-words = no se guardan palabras
person-another = Otra persona
person-line = { $inquiries } { $inquiries ->
    [one] consulta
   *[other] consultas
} con este contacto, además { $records } { $records ->
    [one] registro
   *[other] registros
}, entre ellos { $photos } { $photos ->
    [one] foto
   *[other] fotos
}.
person-sealed = { $n } { $n ->
    [one] consulta
   *[other] consultas
} de esta persona bajo sello. Nada de eso se muestra, entrega ni borra aquí, y el contacto se queda hasta que la autoridad lo libere.
person-shared = { $n } { $n ->
    [one] sitio está
   *[other] sitios están
} también en consultas de otras personas, y no entre esto.
person-inquiries-none = Ninguna consulta que se pueda mostrar tiene este contacto.
person-contact = Contacto
person-contact-gone = Se borró quién preguntó.
person-hand-out = Entregar
person-hand-out-about = Un archivo JSON con todos los registros de arriba y una lista de las fotos. Se omite dónde se tomó cada foto.
person-save = Guardar el archivo
person-erase = Borrar
person-erase-about = El contacto, y { $fields } { $fields ->
    [one] campo privado
   *[other] campos privados
} en { $records } { $records ->
    [one] registro
   *[other] registros
}: palabras propias, dirección, punto. Lo que se observó se queda, sin persona. Lo que escribieron los exploradores también se queda: léalo antes.
person-erase-sure = No se puede deshacer
person-erase-do = Borrar los datos de esta persona
person-not-ticked = Borrar no se puede deshacer, y la casilla que lo dice no se marcó.
person-file-failed = No se pudo escribir el archivo.
erased = Borrado
erased-person = Las palabras de { $n } { $n ->
    [one] registro
   *[other] registros
} ya no están en esta oficina.
erased-views = { $n } { $n ->
    [one] vista guardada se fue con ellas: una palabra suya no estaba en ninguna otra parte.
   *[other] vistas guardadas se fueron con ellas: una palabra de cada una no estaba en ninguna otra parte.
}
erased-to-decide = { $n } { $n ->
    [one] archivo sellado que se guarda aquí nombra
   *[other] archivos sellados que se guardan aquí nombran
} lo que se borró. Quien administra decide en la página de lo apartado.
erased-after = Haga una respuesta para cada teléfono, para que allí también se borre. Las copias de antes todavía las tienen; sus libros cuidan de que no vuelvan.

keeping-title = Cuánto tiempo se guardan los datos privados
keeping-about = Las palabras propias, direcciones, puntos y contactos de las consultas cerradas se van después de unos meses. Nada se va por sí solo: antes una persona mira la cuenta.
keeping-rule = La regla
keeping-not-set = sin fijar
keeping-months = { $n } { $n ->
    [one] mes
   *[other] meses
}
keeping-months-label = Meses después de cerrar, de 1 a { $most }
keeping-set = Guardarlos ese tiempo
keeping-rule-about = Un contacto o un sitio se va cuando todas sus consultas son así de viejas. Lo que está bajo sello se queda.
keeping-due = Toca ahora
keeping-amount = { $fields } { $fields ->
    [one] campo privado
   *[other] campos privados
} de { $inquiries } { $inquiries ->
    [one] consulta cerrada
   *[other] consultas cerradas
}
keeping-no-rule = Nada, hasta que se fije la regla. El calendario de archivo del condado dice cuánto tiempo.
keeping-nothing = Nada es más viejo que la regla.
keeping-erase = Borrar { $amount }, para siempre
keeping-whole-number = La regla dice un número entero de meses, de 1 a { $most }.
keeping-nobody-said = Nadie ha dicho todavía cuánto tiempo se guardan.
keeping-meanwhile = Mientras tanto serían { $amount }. Mire la cuenta otra vez.
keeping-erased = Borrado según la regla
keeping-gone = Ya no están: { $amount }.
