package org.dooryard.kit

import org.dooryard.core.FieldNotebook
import org.junit.jupiter.api.Assertions.assertEquals
import java.nio.file.Files
import java.nio.file.Path

private fun told(name: String): Path = Path.of(checkNotNull(System.getProperty(name)) { "run by Maven: $name" }).normalize()

/** A real photo with the time, place and direction that a camera writes. */
val leafPhoto: Path = told("dooryard.photo")

/** Bundles and replies whose outcome is written down. */
val goldenFiles: Path = told("dooryard.golden")

/** Where the phones' tests leave what the office takes in afterwards. */
val phonesDir: Path = told("dooryard.phones.dir")

/** A county office, run by its command as a person at the desk runs it. */
class Desk(private val office: Path) {
    init {
        if (!Files.exists(office)) {
            Files.createDirectories(office.parent)
            run("office", "new", office.toString(), "--name", "Larkspur County")
        }
    }

    /** Makes a notebook in [folder] and has it certified as a scout's. */
    fun newPhone(folder: Path, label: String): FieldNotebook {
        val notebook = FieldNotebook.create(folder.toString())
        val request = folder.resolveSibling("${folder.fileName}.request")
        val answer = folder.resolveSibling("${folder.fileName}.answer")
        Files.write(request, notebook.enrolmentRequest())
        run(
            "office", "add-device", office.toString(), "--request", request.toString(),
            "--role", "scout", "--label", label, "--out", answer.toString(),
        )
        notebook.enrol(Files.readAllBytes(answer))
        return notebook
    }

    fun takeIn(bundle: Path) = run("bundle", "take-in", "--office", office.toString(), bundle.toString())

    fun reply(label: String, out: Path) =
        run("bundle", "reply", "--office", office.toString(), "--device", label, "--out", out.toString())

    private fun run(vararg args: String): String {
        val command = listOf(told("dooryard.command").toString()) + args
        val process = ProcessBuilder(command).redirectErrorStream(true).start()
        val said = process.inputStream.readBytes().decodeToString()
        assertEquals(0, process.waitFor(), said)
        return said
    }
}
