package org.dooryard.kit

import org.dooryard.core.Secrets
import org.dooryard.core.SecretsException
import java.util.UUID

/** The name of the secrets of a notebook that a test leaves for the office. */
const val knownSecrets = "a phone left by a test"

/**
 * Secrets in memory in the place of a phone's own store: what one wrapped only one of the same name opens. They protect
 * nothing: `tests/tests/phones.rs` opens with the name alone what the tests leave.
 */
class MemorySecrets(private val name: String = UUID.randomUUID().toString()) : Secrets {
    /** What every call throws from now on. */
    var throws: Exception? = null

    /** The keys that were wrapped, in the clear. */
    val keys = mutableListOf<ByteArray>()

    override fun wrap(key: ByteArray): ByteArray {
        throws?.let { throw it }
        keys += key
        return name.toByteArray() + turned(key)
    }

    override fun unwrap(wrapped: ByteArray): ByteArray {
        throws?.let { throw it }
        val own = name.toByteArray()
        if (!wrapped.take(own.size).toByteArray().contentEquals(own)) throw SecretsException.Foreign()
        return turned(wrapped.drop(own.size).toByteArray())
    }

    private fun turned(bytes: ByteArray): ByteArray {
        val pad = name.toByteArray()
        return ByteArray(bytes.size) { (bytes[it].toInt() xor pad[it % pad.size].toInt()).toByte() }
    }
}
