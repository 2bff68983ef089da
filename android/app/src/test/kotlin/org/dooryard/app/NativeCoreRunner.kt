package org.dooryard.app

import org.junit.runners.model.FrameworkMethod
import org.robolectric.RobolectricTestRunner
import org.robolectric.internal.bytecode.InstrumentationConfiguration

/**
 * Loads JNA and the generated bindings with the ordinary class loader, once for all tests. Robolectric makes a class loader for
 * each level of Android, and the library keeps one table of callbacks: bindings loaded twice would send them to the wrong copy.
 */
class NativeCoreRunner(testClass: Class<*>) : RobolectricTestRunner(testClass) {
    override fun createClassLoaderConfig(method: FrameworkMethod): InstrumentationConfiguration =
        InstrumentationConfiguration.Builder(super.createClassLoaderConfig(method))
            .doNotAcquirePackage("com.sun.jna.")
            .doNotAcquirePackage("org.dooryard.core.")
            .build()
}
