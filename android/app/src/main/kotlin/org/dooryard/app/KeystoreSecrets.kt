package org.dooryard.app

import android.security.keystore.KeyGenParameterSpec
import android.security.keystore.KeyPermanentlyInvalidatedException
import android.security.keystore.KeyProperties
import org.dooryard.core.Secrets
import org.dooryard.core.SecretsException
import java.security.GeneralSecurityException
import java.security.KeyStore
import java.security.UnrecoverableKeyException
import javax.crypto.AEADBadTagException
import javax.crypto.Cipher
import javax.crypto.KeyGenerator
import javax.crypto.SecretKey
import javax.crypto.spec.GCMParameterSpec

/** Wraps the notebook's key by a key that never leaves the phone's own store. */
class KeystoreSecrets(private val store: KeyStore = KeyStore.getInstance(STORE)) : Secrets {
    override fun wrap(key: ByteArray): ByteArray = asked {
        val cipher = Cipher.getInstance(CIPHER)
        cipher.init(Cipher.ENCRYPT_MODE, secret() ?: made())
        byteArrayOf(cipher.iv.size.toByte()) + cipher.iv + cipher.doFinal(key)
    }

    override fun unwrap(wrapped: ByteArray): ByteArray = asked {
        val secret = secret() ?: throw SecretsException.Gone()
        val size = wrapped.firstOrNull()?.toInt() ?: throw SecretsException.Foreign()
        if (size <= 0 || wrapped.size <= 1 + size) throw SecretsException.Foreign()
        val cipher = Cipher.getInstance(CIPHER)
        cipher.init(Cipher.DECRYPT_MODE, secret, GCMParameterSpec(TAG_BITS, wrapped, 1, size))
        cipher.doFinal(wrapped, 1 + size, wrapped.size - 1 - size)
    }

    private fun secret(): SecretKey? {
        store.load(null)
        return store.getKey(NAME, null) as? SecretKey
    }

    private fun made(): SecretKey {
        val purposes = KeyProperties.PURPOSE_ENCRYPT or KeyProperties.PURPOSE_DECRYPT
        val spec = KeyGenParameterSpec.Builder(NAME, purposes)
            .setBlockModes(KeyProperties.BLOCK_MODE_GCM)
            .setEncryptionPaddings(KeyProperties.ENCRYPTION_PADDING_NONE)
            .setKeySize(KEY_BITS)
            .build()
        return KeyGenerator.getInstance(KeyProperties.KEY_ALGORITHM_AES, store.type).apply { init(spec) }.generateKey()
    }

    private fun <T> asked(what: () -> T): T = try {
        what()
    } catch (_: KeyPermanentlyInvalidatedException) {
        throw SecretsException.Gone()
    } catch (_: UnrecoverableKeyException) {
        throw SecretsException.Gone()
    } catch (_: AEADBadTagException) {
        throw SecretsException.Foreign()
    } catch (_: GeneralSecurityException) {
        throw SecretsException.Failed()
    }

    private companion object {
        const val STORE = "AndroidKeyStore"
        const val NAME = "notebook"
        const val CIPHER = "AES/GCM/NoPadding"
        const val KEY_BITS = 256
        const val TAG_BITS = 128
    }
}
