package org.dooryard.kit

import com.google.gson.JsonObject
import com.google.gson.JsonParser
import org.dooryard.core.FieldNotebook
import org.dooryard.core.Secrets
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

    /** Makes a notebook in [folder] and has it certified as a scout's, by files. */
    fun newPhone(folder: Path, label: String, secrets: Secrets = MemorySecrets()): FieldNotebook {
        val notebook = FieldNotebook.create(folder.toString(), secrets)
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

    /** The text of an invitation. */
    fun invite(label: String): String =
        said("invitation", "office", "invite", office.toString(), "--role", "scout", "--label", label)

    /** The text of the answer to a phone whose words were compared. */
    fun admit(ask: String): String = said("answer", "office", "admit", office.toString(), ask, "--yes")

    /** The code with which the desk refuses to admit a phone. */
    fun refusesToAdmit(ask: String): String {
        val refused = objects(1, "office", "admit", office.toString(), ask, "--yes").first { it.has("refused") }
        return refused["code"].asString
    }

    /** The words of a phone that asks, as the desk sees them: in English, in Spanish. */
    fun wordsOf(label: String): Pair<String, String> {
        val waiting = objects(0, "office", "waiting", office.toString()).first { it["label"].asString == label }
        return waiting["words"].asString to waiting["words_es"].asString
    }

    fun takeIn(bundle: Path) = run("bundle", "take-in", "--office", office.toString(), bundle.toString())

    /** The code under which the desk keeps a bundle that it does not take in. */
    fun keepsBack(bundle: Path): String =
        objects(1, "bundle", "take-in", "--office", office.toString(), bundle.toString()).first()["code"].asString

    fun reply(label: String, out: Path) =
        run("bundle", "reply", "--office", office.toString(), "--device", label, "--out", out.toString())

    /** Erases a record's words. */
    fun erase(record: String) = run("office", "erase", office.toString(), record, "--yes")

    /** Backs the office up on another machine, so that what it holds is safe. */
    fun backUp(out: Path) = run("office", "backup", office.toString(), "--out", out.toString(), "--off-machine")

    /** Takes in the backup of a phone that is lost. */
    fun takeBackup(backup: Path) = run("office", "take-backup", office.toString(), backup.toString())

    /** The records that the office holds. */
    fun records(): Set<String> =
        objects(0, "notebook", "list", office.resolve("notebook").toString(), "--limit", "1000").map { it["id"].asString }.toSet()

    private fun said(key: String, vararg args: String): String = objects(0, *args).first { it.has(key) }[key].asString

    private fun objects(code: Int, vararg args: String): List<JsonObject> =
        call(code, listOf("--json") + args).lines().filter { it.startsWith("{") }.map { JsonParser.parseString(it).asJsonObject }

    private fun run(vararg args: String) {
        call(0, args.toList())
    }

    private fun call(code: Int, args: List<String>): String {
        val process = ProcessBuilder(listOf(told("dooryard.command").toString()) + args).redirectErrorStream(true).start()
        val said = process.inputStream.readBytes().decodeToString()
        val ended = process.waitFor()
        check(ended == code) { "ended with $ended: $said" }
        return said
    }
}
