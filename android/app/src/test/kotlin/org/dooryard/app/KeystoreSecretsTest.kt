package org.dooryard.app

import android.security.keystore.KeyGenParameterSpec
import android.security.keystore.KeyPermanentlyInvalidatedException
import org.dooryard.core.SecretsException
import org.junit.After
import org.junit.Assert.assertArrayEquals
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertThrows
import org.junit.Assert.assertTrue
import org.junit.Before
import org.junit.Test
import org.junit.runner.RunWith
import java.io.InputStream
import java.io.OutputStream
import java.security.Key
import java.security.KeyStoreException
import java.security.KeyStoreSpi
import java.security.Provider
import java.security.SecureRandom
import java.security.Security
import java.security.UnrecoverableKeyException
import java.security.cert.Certificate
import java.security.spec.AlgorithmParameterSpec
import java.util.Collections
import java.util.Date
import java.util.Enumeration
import javax.crypto.KeyGeneratorSpi
import javax.crypto.SecretKey
import javax.crypto.spec.SecretKeySpec

@RunWith(NativeCoreRunner::class)
class KeystoreSecretsTest {
    private val key = ByteArray(64) { it.toByte() }

    @Before
    fun phone() {
        FakeStore.keys.clear()
        FakeStore.fails = null
        Security.addProvider(FakeStore())
    }

    @After
    fun gone() = Security.removeProvider(FakeStore.NAME)

    @Test
    fun whatWasWrappedIsUnwrappedByTheSamePhoneAlsoAfterItWasStartedAgain() {
        val wrapped = KeystoreSecrets().wrap(key)
        assertArrayEquals(key, KeystoreSecrets().unwrap(wrapped))
        val text = wrapped.toString(Charsets.ISO_8859_1)
        assertFalse("in the clear", key.copyOf(16).toString(Charsets.ISO_8859_1) in text)
        assertEquals("one key for all", 1, FakeStore.keys.size)
        assertFalse("each time otherwise", wrapped.contentEquals(KeystoreSecrets().wrap(key)))
        val spec = FakeStore.asked as KeyGenParameterSpec
        assertEquals(256, spec.keySize)
        assertFalse("a screen lock that changes takes no records with it", spec.isUserAuthenticationRequired)
    }

    @Test
    fun aKeyThatIsGoneIsSaidAndNoneIsMadeInItsPlace() {
        val wrapped = KeystoreSecrets().wrap(key)
        FakeStore.keys.clear()
        assertThrows(SecretsException.Gone::class.java) { KeystoreSecrets().unwrap(wrapped) }
        assertTrue(FakeStore.keys.isEmpty())
        for (gone in listOf(UnrecoverableKeyException(), KeyPermanentlyInvalidatedException())) {
            FakeStore.fails = gone
            assertThrows(SecretsException.Gone::class.java) { KeystoreSecrets().unwrap(wrapped) }
        }
    }

    @Test
    fun whatAnotherPhoneWrappedOrWasChangedIsForeign() {
        val wrapped = KeystoreSecrets().wrap(key)
        val changed = wrapped.clone().apply { this[lastIndex] = (this[lastIndex] + 1).toByte() }
        for (other in listOf(changed, ByteArray(0), byteArrayOf(12), byteArrayOf(-1, 2, 3), wrapped.copyOf(13), ByteArray(80))) {
            assertThrows(other.toList().toString(), SecretsException.Foreign::class.java) { KeystoreSecrets().unwrap(other) }
        }
        FakeStore.keys.clear()
        KeystoreSecrets().wrap(key)
        assertThrows(SecretsException.Foreign::class.java) { KeystoreSecrets().unwrap(wrapped) }
    }

    @Test
    fun aStoreThatFailsIsSaidAsThat() {
        val wrapped = KeystoreSecrets().wrap(key)
        FakeStore.fails = KeyStoreException("busy")
        assertThrows(SecretsException.Failed::class.java) { KeystoreSecrets().wrap(key) }
        assertThrows(SecretsException.Failed::class.java) { KeystoreSecrets().unwrap(wrapped) }
    }
}

/** A phone's store of keys, in memory. Real keys never leave a real one; this one only has to answer as it does. */
class FakeStore : Provider(NAME, "1", "keys in memory") {
    init {
        put("KeyStore.$NAME", Keys::class.java.name)
        put("KeyGenerator.AES", Maker::class.java.name)
    }

    override fun getService(type: String, algorithm: String): Service? = when (type) {
        "KeyStore" -> if (algorithm == NAME) made(type, algorithm, Keys::class.java.name) { Keys() } else null
        "KeyGenerator" -> if (algorithm == "AES") made(type, algorithm, Maker::class.java.name) { Maker() } else null
        else -> null
    }

    private fun made(type: String, algorithm: String, name: String, make: () -> Any) =
        object : Service(this, type, algorithm, name, null, null) {
            override fun newInstance(parameter: Any?): Any = make()
        }

    class Maker : KeyGeneratorSpi() {
        override fun engineInit(spec: AlgorithmParameterSpec, random: SecureRandom?) {
            asked = spec
        }

        override fun engineInit(random: SecureRandom?) = Unit

        override fun engineInit(size: Int, random: SecureRandom?) = Unit

        override fun engineGenerateKey(): SecretKey {
            val bytes = ByteArray(32).also { SecureRandom().nextBytes(it) }
            return SecretKeySpec(bytes, "AES").also { keys[(asked as KeyGenParameterSpec).keystoreAlias] = it }
        }
    }

    class Keys : KeyStoreSpi() {
        override fun engineGetKey(alias: String, password: CharArray?): Key? {
            fails?.let { throw it }
            return keys[alias]
        }

        override fun engineLoad(stream: InputStream?, password: CharArray?) = Unit
        override fun engineGetCertificateChain(alias: String): Array<Certificate>? = null
        override fun engineGetCertificate(alias: String): Certificate? = null
        override fun engineGetCreationDate(alias: String): Date? = null
        override fun engineSetKeyEntry(alias: String, key: Key, password: CharArray?, chain: Array<Certificate>?) = Unit
        override fun engineSetKeyEntry(alias: String, key: ByteArray, chain: Array<Certificate>?) = Unit
        override fun engineSetCertificateEntry(alias: String, cert: Certificate) = Unit
        override fun engineDeleteEntry(alias: String) = Unit
        override fun engineAliases(): Enumeration<String> = Collections.enumeration(keys.keys)
        override fun engineContainsAlias(alias: String) = alias in keys
        override fun engineSize() = keys.size
        override fun engineIsKeyEntry(alias: String) = alias in keys
        override fun engineIsCertificateEntry(alias: String) = false
        override fun engineGetCertificateAlias(cert: Certificate): String? = null
        override fun engineStore(stream: OutputStream?, password: CharArray?) = Unit
    }

    companion object {
        const val NAME = "AndroidKeyStore"
        val keys = HashMap<String, SecretKey>()
        var asked: AlgorithmParameterSpec? = null

        /** What asking for a key throws. */
        var fails: Exception? = null
    }
}
