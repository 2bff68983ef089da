package org.dooryard.kit

import org.dooryard.core.FieldNotebook
import org.dooryard.core.ListRequest
import org.dooryard.core.NotebookException
import org.dooryard.core.Secrets
import org.dooryard.core.SecretsException
import org.junit.jupiter.api.Assertions.assertArrayEquals
import org.junit.jupiter.api.Assertions.assertEquals
import org.junit.jupiter.api.Assertions.assertFalse
import org.junit.jupiter.api.Assertions.assertThrows
import org.junit.jupiter.api.Assertions.assertTrue
import org.junit.jupiter.api.Test
import org.junit.jupiter.api.io.TempDir
import java.nio.file.Files
import java.nio.file.Path

class SecretsTest {
    @TempDir lateinit var dir: Path

    private val folder get() = dir.resolve("phone")
    private val keyFile get() = folder.resolve("local/device.key")

    private fun open(secrets: Secrets): FieldNotebook = FieldNotebook.open(folder.toString(), secrets)

    @Test
    fun theKeyStandsInNoFileInTheClearAndTheSameSecretsOpenIt() {
        val secrets = MemorySecrets()
        val request = FieldNotebook.create(folder.toString(), secrets).use { it.enrolmentRequest() }
        val key = secrets.keys.single()
        assertTrue(key.size > 100, "the seed and what opens bundles")
        for (secret in key.decodeToString().trim().lines()) {
            for (file in folder.toFile().walk().filter { it.isFile }) {
                assertFalse(file.readText(Charsets.ISO_8859_1).contains(secret), file.path)
            }
        }
        open(secrets).use { assertArrayEquals(request, it.enrolmentRequest()) }
    }

    @Test
    fun aLockedSecretIsSaidAndEverythingIsThereAfterwards() {
        val secrets = MemorySecrets()
        val desk = Desk(dir.resolve("office"))
        val saved = desk.newPhone(folder, "Scout 7", secrets).use { lookAtAMaple(it, "Scout 7") }
        val before = filesOf(folder)
        secrets.throws = SecretsException.Locked()
        assertThrows(NotebookException.KeyLocked::class.java) { open(secrets) }
        val fresh = dir.resolve("fresh")
        assertThrows(NotebookException.KeyLocked::class.java) { FieldNotebook.create(fresh.toString(), secrets) }
        assertEquals(before, filesOf(folder), "no byte was changed")
        assertFalse(Files.exists(fresh.resolve("local/device.key")), "no key is left in the clear")
        secrets.throws = null
        open(secrets).use { assertEquals("leaf_spot", it.show(saved.finding).text("character")) }
        FieldNotebook.create(fresh.toString(), secrets).close()
    }

    @Test
    fun aLostKeyAForeignOneAndABrokenStoreAreToldApartAndNothingIsTouched() {
        val secrets = MemorySecrets()
        FieldNotebook.create(folder.toString(), secrets).close()
        val before = filesOf(folder)
        secrets.throws = SecretsException.Gone()
        assertThrows(NotebookException.KeyGone::class.java) { open(secrets) }
        assertThrows(NotebookException.KeyForeign::class.java) { open(MemorySecrets("another phone's")) }
        secrets.throws = IllegalStateException("the store crashed")
        assertThrows(NotebookException.SecretsFailed::class.java) { open(secrets) }
        secrets.throws = SecretsException.Failed()
        assertThrows(NotebookException.SecretsFailed::class.java) { open(secrets) }
        assertEquals(before, filesOf(folder))
        secrets.throws = null
        open(secrets).close()
    }

    @Test
    fun aKeyFileWithAWrongByteIsRefusedAndLeftAsItIs() {
        val secrets = MemorySecrets()
        FieldNotebook.create(folder.toString(), secrets).close()
        val whole = Files.readAllBytes(keyFile)
        Files.write(keyFile, whole.copyOf(whole.size - 9))
        assertThrows(NotebookException.Refused::class.java) { open(secrets) }
        assertEquals(whole.size - 9L, Files.size(keyFile))
        Files.write(keyFile, whole)
        open(secrets).close()
    }

    @Test
    fun aStoreThatPassesTheKeyOnIsRefusedAndAnOldPlainKeyIsWrappedFromThenOn() {
        val idle = object : Secrets {
            override fun wrap(key: ByteArray) = "x".toByteArray() + key

            override fun unwrap(wrapped: ByteArray) = wrapped.drop(1).toByteArray()
        }
        assertThrows(NotebookException.SecretsFailed::class.java) { FieldNotebook.create(folder.toString(), idle) }
        assertFalse(Files.exists(keyFile))
        folder.toFile().deleteRecursively()
        goldenFiles.resolve("phone").toFile().copyRecursively(folder.toFile())
        val plain = Files.readString(keyFile)
        assertThrows(NotebookException.SecretsFailed::class.java) { open(idle) }
        assertEquals(plain, Files.readString(keyFile), "left as it was")
        val secrets = MemorySecrets()
        val records = open(secrets).use { it.list(ListRequest()).total }
        assertTrue(records > 0uL)
        val wrapped = Files.readString(keyFile, Charsets.ISO_8859_1)
        assertTrue(plain.trim().lines().none { it in wrapped })
        open(secrets).use { assertEquals(records, it.list(ListRequest()).total) }
    }
}
